"""The checks of whole papers notice a sentence that rests on another step than the one it speaks of."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.documents.papers.test_papers_sentences import all_skipped, played, repaired
from tests.helpers.jobs import Job
from tests.helpers.papers import paper_sentences as checks
from tests.helpers.papers.paper_events import RawEvents
from wizard.documents.document_tree import Evidence
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c

SECTIONS, CONTENT = "wizard.documents.papers.sections", "wizard.documents.content"


def decided_early() -> RawEvents:
    """The bolts found, the dampers passed over, and the proving spin come out well since."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.until(NextKind.CLOSE)
    return RawEvents(job.view, tuple(job.records))


def seen(*_what: object) -> Evidence:
    return Evidence.SEEN


@pytest.mark.parametrize(
    ("job", "check", "place", "instead"),
    [
        (
            decided_early,
            checks.what_was_unlikely_was_so_at_the_decision,
            f"{SECTIONS}.not_looked_at.decision_view",
            lambda view: view,
        ),
        (
            repaired,
            checks.what_is_seen_was_answered_at_the_machine,
            f"{CONTENT}.conditions_left.step_evidence",
            seen,
        ),
        (
            all_skipped,
            checks.what_is_not_looked_at_was_not,
            f"{CONTENT}.search_coverage.answered_steps",
            lambda _view: frozenset(),
        ),
        (
            lambda: played("one-weak"),
            checks.what_is_seen_was_answered_at_the_machine,
            f"{SECTIONS}.findings_section.places_found",
            lambda _view, _fault: ("front right",),
        ),
        (
            repaired,
            checks.what_is_measured_was_read,
            f"{SECTIONS}.measurement_table.value",
            lambda _judged, _unit: "19 N",
        ),
    ],
    ids=["at the decision", "seen", "asked for other work", "places", "figures"],
)
def test_what_rests_on_another_step_is_caught(
    job: Callable[[], RawEvents],
    check: Callable[[RawEvents], None],
    place: str,
    instead: Callable[..., object],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """With the paper as it is the check passes; with a part of it taken from elsewhere it does not."""
    journal = job()
    check(journal)
    monkeypatch.setattr(place, instead)
    with pytest.raises(AssertionError):
        check(job())
