"""The table of what was read: what is asked now, what was read, what it comes to."""

from types import SimpleNamespace

import pytest

from tests.helpers.jobs import good
from wizard.engine.measuring import judging
from wizard.engine.measuring.judging import Slot
from wizard.engine.state.job_state import ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Reading
from wizard.screens.widgets.readings.readings_table import grouped, number, repeats, window

FACTS = {"dampers": "3"}


def reading():
    return good().inspections["dampers"].step("pull").reading


def taken(*rows):
    return [
        ReadingRecord(n, "", 1, 1, "dampers", "pull", "before", i, w, r, v, f"{v}", "N", "", "")
        for n, (i, w, r, v) in enumerate(rows)
    ]


def table(rows, asked, room=9, plain=False):
    step = good().inspections["dampers"].step("pull")
    state = SimpleNamespace(facts=FACTS, sheets=())
    judged = judging.judge_readings(JobView.of(good(), state), step, rows).items if rows else ()
    return [line.plain for line in repeats(step.reading, FACTS, rows, judged, asked, room, plain)]


def test_every_item_and_way_has_a_row():
    """Three dampers, two ways: six rows under the heading, each under its name."""
    lines = table([], Slot(0, 0, 0))
    assert len(lines) == 7
    assert "damper 1, out" in lines[1] and "damper 3, in" in lines[6]


def test_the_number_asked_is_marked():
    """The row asked now has the pointer, its place a question mark."""
    lines = table(taken((0, 0, 0, 58.0)), Slot(0, 0, 1))
    assert lines[1].startswith("▸ damper 1, out") and "?" in lines[1]
    assert sum(line.startswith("▸") for line in lines) == 1


def test_mean_and_verdict_follow_the_readings():
    """A row with readings gives their mean with its uncertainty and the verdict in words."""
    lines = table(taken((0, 0, 0, 58.0), (0, 0, 1, 62.0), (0, 1, 0, 10.0)), Slot(0, 1, 1))
    assert "58" in lines[1] and "62" in lines[1] and "60 ±" in lines[1] and "✓ pass" in lines[1]
    assert "✗ fail" in lines[2]
    assert "pass" not in lines[3]


def test_the_spread_comes_with_the_second_repeat():
    """The spread of the repeats alone (standard deviation, GUM 4.2.2); ± has the tool in it too."""
    one, two, three = taken((0, 0, 0, 58.0)), (0, 0, 1, 62.0), (0, 0, 2, 60.0)
    heading, first = table(one, Slot(0, 0, 1))[:2]
    assert heading.rstrip().endswith("spread")
    at = heading.index("spread") + len("spread")
    assert first[at - 6 : at].strip() == ""
    later = table(taken((0, 0, 0, 58.0), two), Slot(0, 0, 2))[1]
    assert later[at - 6 : at].strip() == "2.8" and later[at:].startswith("  ")
    assert table(taken((0, 0, 0, 58.0), two, three), Slot(0, 1, 0))[1][at - 6 : at].strip() == "2"


def test_rows_out_of_order_keep_their_own_verdict():
    """A row that was typed later than the ones after it is judged by its own values."""
    lines = table(taken((2, 0, 0, 5.0), (0, 0, 0, 60.0)), Slot(1, 0, 0))
    assert "✓ pass" in lines[1] and "✗ fail" in lines[5]


def test_few_lines_show_the_rows_around_the_one_asked():
    """With little room, the row asked is always among those shown."""
    for asked in judging.slots(reading(), FACTS):
        lines = table([], asked, room=4)
        assert len(lines) == 4
        assert any(line.startswith("▸") for line in lines)


@pytest.mark.parametrize("room", [2, 3, 4, 6, 7])
def test_rows_below_are_counted(room):
    """What is out of sight below is said, whichever row is asked; rows above have the sign of a list scrolled."""
    names = [line[2:15] for line in table([], None)[1:]]
    for asked in judging.slots(reading(), FACTS):
        lines = table([], asked, room=room)
        shown = [n for n, name in enumerate(names) if any(line[2:15] == name for line in lines)]
        follow = len(names) - 1 - shown[-1]
        assert any(f"▼ {follow} more" in line for line in lines) == (follow > 0)
        assert len(lines) <= room and any(line.startswith("▸") for line in lines)
        assert not shown[0] or lines[1][0] in "▸▲"


@pytest.mark.parametrize(("count", "now", "room"), [(6, 0, 3), (6, 5, 3), (2, 1, 5), (1, 0, 1), (8, 4, 1)])
def test_window_holds_the_row_and_no_more_than_fit(count, now, room):
    """The window is as large as fits, lies within the rows, and holds the row asked."""
    first, last = window(count, now, room)
    assert 0 <= first <= now < last <= count
    assert last - first == min(count, room)


def test_plain_table_is_ascii():
    """Pointer, sign and verdict have an ASCII form."""
    lines = table(taken((0, 0, 0, 58.0)), Slot(0, 0, 1), plain=True)
    assert all(line.isascii() for line in lines)


def test_numbers_are_shown_in_the_unit_they_are_read_in():
    """SI inside, the step's unit outside; a dot for what is to come."""
    assert number(0.0125, "mm", False) == "12.5"
    assert number(None, "mm", False) == "."
    assert number(None, "mm", True) == "?"


def test_grouped_by_item_and_way():
    """Readings are found by item and way, and then by repeat."""
    assert grouped(taken((0, 1, 2, 4.0), (0, 1, 0, 5.0))) == {(0, 1): {2: 4.0, 0: 5.0}}


def test_a_reading_turned_into_another_unit_has_honest_figures():
    """1/64 in is 0.396 875 mm (NIST SP 811: 1 in = 25.4 mm): as many figures as its doubt carries; typed mm stay."""
    rows = [
        ReadingRecord(1, "", 1, 1, "spin", "moved", "before", 0, 0, 0, 0.0254 / 64, "1/64 in", "mm", "", ""),
        ReadingRecord(2, "", 1, 1, "spin", "moved", "before", 0, 0, 1, 0.00041234, "0.41234", "mm", "", ""),
    ]
    read = Reading(unit="mm", low=0.0, high=0.1, tool="rule", repeats=2)
    judged = [judging.Judged("", 0.0004, 0.00003, 2)]
    line = repeats(read, {}, rows, judged)[1].plain
    assert line.split()[:2] == ["0.40", "0.41234"]
