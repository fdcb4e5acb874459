"""Which drawings of a step stand together in so much room, and which of two alone."""

from __future__ import annotations

import pytest

from wizard.domain.references import DrawingRef
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.screens.viewmodels.step.step_drawings import BELOW, GAP, Arrangement, drawings_of

FLOW = load(folder_of("washer-shake"))
NEAR, WHOLE = DrawingRef("foot", "lock-nut"), DrawingRef("feet", "feet")
FOOT = DrawingRef("foot")
PAIR = drawings_of(FLOW, NEAR, WHOLE)


def test_a_drawing_is_as_large_as_its_rows_and_the_name_of_what_is_lit() -> None:
    """Columns of the longest row or of the name under it; a line more than its rows, where something is lit."""
    rows = FLOW.drawings["foot"].rows
    assert PAIR.sizes[NEAR] == (max(map(len, rows)), len(rows) + 1)
    assert drawings_of(FLOW, FOOT, None).sizes[FOOT] == (max(map(len, rows)), len(rows))


def test_one_alone_is_the_closeup_unless_the_whole_machine_is_asked_for() -> None:
    """Where there is but one of them it is shown either way; where there is none, nothing."""
    assert PAIR.pair and PAIR.one(False).drawings == (NEAR,) and PAIR.one(True).drawings == (WHOLE,)
    for near, whole in (
        (NEAR, None),
        (None, WHOLE),
        (NEAR, DrawingRef("no-such", "feet")),
        (DrawingRef("no-such"), WHOLE),
    ):
        alone = drawings_of(FLOW, near, whole)
        assert not alone.pair and alone.one(True) == alone.one(False)
        assert alone.one(True).drawings in ((NEAR,), (WHOLE,)) and alone.both(999, 999) is None
    assert drawings_of(FLOW, None, None).one(False) == Arrangement()


@pytest.mark.parametrize("short", [0, 1])
def test_both_stand_one_over_the_other_where_the_ranking_fits_below(short: int) -> None:
    """A line too few, and they stand side by side."""
    (_, high), (_, tall) = PAIR.sizes[NEAR], PAIR.sizes[WHOLE]
    shown = PAIR.both(200, high + 1 + tall + BELOW - short)
    assert shown is not None and shown.drawings == (NEAR, WHOLE) and shown.stacked == (not short)


def test_both_stand_side_by_side_where_there_is_room_and_else_not_at_all() -> None:
    """To the column and the line."""
    (near, high), (whole, tall) = PAIR.sizes[NEAR], PAIR.sizes[WHOLE]
    columns, lines = near + GAP + whole, max(high, tall)
    assert PAIR.both(columns, lines) == Arrangement((NEAR, WHOLE), columns)
    assert PAIR.both(columns - 1, lines) is None and PAIR.both(columns, lines - 1) is None
