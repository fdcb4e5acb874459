"""A value to be watched that no value could be better than is said to be read too coarsely, on both papers."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import Job, good
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.text.limit_text import TOO_COARSE, too_coarse
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.measuring.judging import against, doubted
from wizard.engine.messages import commands as c

SPREAD = good().limits["damper-spread"][0]  # Up to 20 % passes.
DRAG = next(
    li for li in good().limits["damper-drag"] if li.applies == {"dampers": ("3",)}
)  # 40 to 80 N passes.


@pytest.mark.parametrize(
    ("limit", "mean", "uncertainty", "coarse"),
    [
        # P(x <= 20 %) at 0 is 0.95 where the uncertainty is 20 / 1.645 = 12.2 % (the normal distribution's table).
        (SPREAD, 0.0, 0.17, True),
        (SPREAD, 0.25, 0.13, True),
        (SPREAD, 0.19, 0.12, False),
        (SPREAD, 0.19, 0.01, False),
        # From 40 to 80 N, at 60: both sides are 20 away, so 0.95 needs 20 / 1.96 = 10.2 N.
        (DRAG, 60.0, 11.0, True),
        (DRAG, 45.0, 10.0, False),
    ],
)
def test_it_is_too_coarse_where_not_even_the_best_value_could_pass(limit, mean, uncertainty, coarse) -> None:
    assert too_coarse(limit, against("", mean, uncertainty, 1, limit)) is coarse


def test_what_passes_fails_or_lies_outside_its_range_is_not_called_coarse() -> None:
    """They have their own words."""
    assert not too_coarse(SPREAD, against("", 0.0, 0.01, 1, SPREAD))
    assert not too_coarse(SPREAD, against("", 2.0, 0.17, 1, SPREAD))
    assert not too_coarse(SPREAD, doubted(against("", 0.0, 0.17, 1, SPREAD)))


def test_both_papers_say_so_beside_the_value() -> None:
    """Three dampers that pull alike, with a scale of 3 N, differ by 0 of who knows how much."""
    job = Job()
    job.come_to_pull()
    job.measure(18)
    papers = [MARKDOWN.write(paper(job.view)).decode() for paper in (customer_handover, technician_record)]
    assert all(text.count(TOO_COARSE) == 1 for text in papers)
    assert "to be watched (" + TOO_COARSE in papers[0]
    fine = Job()
    fine.come_to_pull()
    fine.measure(60)
    fine.do(c.Confirm(()))
    assert TOO_COARSE not in MARKDOWN.write(customer_handover(fine.view)).decode()
