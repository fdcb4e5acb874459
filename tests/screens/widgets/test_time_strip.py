"""The strip of the time line."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.review.badge_spans import Span
from wizard.screens.replay.time_strip import Strip, column, legend, strip_lines


def span(first, last, live=True, stopped=False):
    return Span(("POWER HELD",), live, stopped, first, last, "", 0.0)


SPANS = (span(1, 2), span(3, 6, live=False), span(7, 8, stopped=True), span(9, 10))
EVEN = tuple(float(60 * n) for n in range(11))


def strip(place=0, marks=None, elapsed=EVEN, spans=SPANS):
    return Strip(spans, elapsed, marks or {}, place)


def test_each_state_has_its_letter_as_wide_as_its_time():
    """10 minutes on 20 columns: two columns a minute; the column where a state begins is its own."""
    states, _marks, _pointer = strip_lines(strip(), 20)
    assert states.plain == "LLLLOOOOOOOOSSSSLLLL"


def test_short_state_is_not_lost():
    """A state of no time at all between two long ones keeps its column."""
    elapsed = (0.0, 0.0, 300.0, 300.0, 300.0, 600.0)
    spans = (span(1, 2), span(3, 3, live=False), span(4, 5))
    line = strip_lines(strip(elapsed=elapsed, spans=spans), 20)[0].plain
    assert "L" in line and len(line) == 20


def test_session_of_no_time_goes_by_events():
    """All events at one moment are laid out evenly."""
    one = strip(elapsed=(0.0,) * 11)
    assert [column(one, place, 20) for place in (0, 5, 10)] == [0, 10, 19]


def test_marks_stand_at_their_place_and_none_hides_another():
    """Where a flag, something put right and a note fall into one column they stand side by side."""
    line = strip_lines(strip(marks={5: "*", 10: "c"}), 20)[1].plain
    assert line[10] == "*" and line[19] == "c"
    packed = strip_lines(strip(marks={1: "*", 2: "c", 3: "!"}), 3)[1].plain
    assert sorted(packed.strip()) == ["!", "*", "c"]
    same = strip_lines(strip(marks={5: "*c!"}), 20)[1].plain
    assert same[10] == "!" and sorted(same.strip()) == ["!", "*", "c"]
    assert sorted(strip_lines(strip(marks={10: "!*"}), 20)[1].plain.strip()) == ["!", "*"]


@pytest.mark.parametrize("place", range(11))
def test_pointer_stands_under_its_time(place):
    """On the column of its place, with the minutes so far, wherever there is room."""
    line = strip_lines(strip(place), 78)[2].plain
    assert line.index("▲") == column(strip(place), place, 78)
    assert f"{place} min 00 s" in line and len(line) <= 78


def test_legend_names_the_states_there_are():
    assert legend(SPANS) == "L power may be on  O power off  S stopped"


@given(st.data())
def test_every_strip_is_as_wide_as_it_may_be(data):
    """Whatever the times, the three lines fit and the first is full."""
    events = data.draw(st.integers(1, 40))
    steps = data.draw(st.lists(st.floats(0, 1e6), min_size=events, max_size=events))
    elapsed = [0.0]
    for step in steps:
        elapsed.append(elapsed[-1] + step)
    cut = data.draw(st.integers(1, events))
    spans = [span(1, cut)] + ([span(cut + 1, events, live=False)] if cut < events else [])
    one = Strip(spans, elapsed, {cut: "!"}, data.draw(st.integers(0, events)))
    width = data.draw(st.integers(30, 200))
    lines = [line.plain for line in strip_lines(one, width)]
    assert len(lines[0]) == width and "?" not in lines[0]
    assert all(len(line) <= width for line in lines)
