"""The reading that decides is the worst by its limit: not the first, not the mean, not the surest."""

from __future__ import annotations

import math

import pytest

from wizard.documents.content.measurements import excess, worst_of
from wizard.domain.vocabulary import LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged, against
from wizard.flow.model import Band, Limit


def limit(*bands: Band) -> Limit:
    return Limit(id="x", says="X", unit="1", source="Invented", status=LimitStatus.ESTIMATE, bands=bands)


SLOPE = limit(
    Band("level", Verdict.PASS, up_to=0.3),
    Band("slight", Verdict.WATCH, up_to=1.0),
    Band("over", Verdict.WATCH),
)
PULL = limit(
    Band("dead", Verdict.FAIL, 30.0), Band("weak", Verdict.WATCH, 40.0), Band("fit", Verdict.PASS, up_to=80.0),
    Band("stiff", Verdict.FAIL),
)  # fmt: skip


def judged(value: float, u: float, by: Limit) -> Judged:
    return against(f"{value:g}", value, u, 1, by)


def worst(by: Limit, u: float, *values: float) -> float:
    """The worst of these values; the same in whichever order they come."""
    found = {
        chosen.mean
        for row in (values, values[::-1])
        if (chosen := worst_of([judged(v, u, by) for v in row], by))
    }
    (one,) = found
    return one


@pytest.mark.parametrize(
    ("by", "u", "values", "expected"),
    [
        (SLOPE, 0.14, (0.40, 0.15), 0.40),  # Both are to be watched: 0.40 lies outside the range that passes.
        (SLOPE, 0.02, (0.60, 0.90), 0.90),  # Both sure to be watched: the one further out.
        (SLOPE, 0.02, (0.05, 0.20), 0.20),  # Both pass: the one nearer to the edge.
        (PULL, 3.0, (10.0, 18.0), 10.0),  # Both are sure to fail.
        (PULL, 3.0, (18.0, 140.0), 140.0),  # Two sides: 60 above what passes is more than 22 below.
        (PULL, 3.0, (35.0, 60.0, 36.0), 35.0),
        (PULL, 3.0, (79.0, 41.0, 60.0), 79.0),  # 79 may fail, 41 can at worst be weak.
    ],
)
def test_of_equal_verdicts_the_one_that_the_limit_likes_least(
    by: Limit, u: float, values: tuple[float, ...], expected: float
) -> None:
    assert worst(by, u, *values) == expected


def test_a_fail_comes_before_a_watch_that_is_surer() -> None:
    """The verdict first."""
    rows = [judged(35.0, 0.1, PULL), judged(24.0, 3.0, PULL)]
    assert [r.verdict for r in rows] == [Verdict.WATCH, Verdict.FAIL]
    assert worst_of(rows, PULL) is rows[1]


def test_excess_is_the_way_out_of_what_passes_or_back_to_its_edge() -> None:
    """Signed; bands side by side that pass are one range; nothing passes, nothing to be off."""
    assert [excess(PULL, v) for v in (25.0, 40.0, 60.0, 90.0)] == [15.0, 0.0, -20.0, 10.0]
    two = limit(
        Band("a", Verdict.PASS, up_to=1.0), Band("b", Verdict.PASS, up_to=5.0), Band("c", Verdict.FAIL)
    )
    assert excess(two, 2.0) == -3.0
    assert excess(limit(Band("a", Verdict.FAIL, up_to=1.0), Band("b", Verdict.WATCH)), 3.0) == 0.0
    assert not math.isinf(excess(limit(Band("a", Verdict.PASS)), 3.0))
