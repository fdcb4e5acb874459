"""The list with a mark, the fields and the message line, on a small stage of their own."""

import pytest
from textual.app import App
from textual.content import Content
from textual.widgets import Input

from wizard.engine.guidance.session_ranking import RankedFault
from wizard.screens.layout import themes
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.picklist import LEAST, PickList, in_sight, window
from wizard.screens.widgets.entry.text_area import Words
from wizard.screens.widgets.faults.ranking_box import SHOWN, standing_lines
from wizard.screens.widgets.frame.message_line import MessageLine


class BareList(App[None]):
    """One widget (or what makes it), our themes, and a list of what it posted."""

    def __init__(self, widget):
        super().__init__()
        self.widget, self.heard = widget, []
        for theme in themes.THEMES:
            self.register_theme(theme)
        self.theme = themes.DARK.name

    def compose(self):
        yield self.widget() if callable(self.widget) else self.widget

    def on_pick_list_picked(self, event):
        self.heard.append(("picked", event.index))

    def on_pick_list_moved(self, event):
        self.heard.append(("moved", event.index))

    def on_words_given(self, event):
        self.heard.append(("given", event.text))

    def on_input_submitted(self, event: Input.Submitted):
        self.heard.append(("sent", event.value))


def rows(count):
    return [Content(f"row {n}") for n in range(count)]


async def test_the_mark_moves_and_stays_within_the_list():
    """Down, up, and no further than the ends."""
    pick = PickList()
    app = BareList(pick)
    async with app.run_test(size=(40, 10)) as pilot:
        pick.show(rows(3))
        pick.focus()
        await pilot.press("up", "down", "down", "down", "enter")
        assert pick.index == 2
        assert app.heard == [("moved", 1), ("moved", 2), ("picked", 2)]


@pytest.mark.parametrize("room", [3, 4, 7, 12, 40])
@pytest.mark.parametrize("index", [0, 1, 6, 13])
def test_rows_of_several_lines_are_whole_and_the_marked_one_is_among_them(room, index):
    """What is in sight fits the room with the line that says how many follow."""
    heights = [1, 2, 1, 1, 3, 1, 2, 2, 1, 1, 1, 2, 1, 1]
    first, last = in_sight(heights, index, room)
    assert first <= index < last
    assert sum(heights[first:last]) + (last < len(heights)) <= room or last - first == 1
    if room == 40:
        assert (first, last) == (0, len(heights))


async def test_a_long_list_shows_the_window_around_the_mark():
    """The marked row is always in sight."""
    pick = PickList()
    async with BareList(pick).run_test(size=(40, 10)) as pilot:
        pick.show(rows(50), 30)
        await pilot.pause()
        shown = str(pick.content)
        assert "▸ row 30" in shown and "row 1\n" not in shown and len(shown.splitlines()) == 10


@pytest.mark.parametrize(("index", "above", "below"), [(0, False, 41), (30, True, 15), (49, True, 0)])
async def test_a_long_list_says_what_follows_and_what_went_before(index, above, below):
    """'▼ 41 more' on its last line while more follow, ▲ at its first row once it begins further up."""
    pick = PickList()
    async with BareList(pick).run_test(size=(40, 10)) as pilot:
        pick.show(rows(50), index)
        await pilot.pause()
        shown = str(pick.content).splitlines()
        assert len(shown) == 10 and shown[0].startswith("▲ row") == above
        assert shown[-1] == (f"  ▼ {below} more" if below else "▸ row 49")


@pytest.mark.parametrize(("count", "room"), [(count, room) for count in range(14) for room in range(1, 9)])
def test_the_window_holds_the_mark_and_no_line_too_many(count, room):
    """For every row marked: in sight, with the line that says how many follow; a list that fits is shown whole."""
    for index in range(count):
        first, last = window(count, index, room)
        assert 0 <= first <= index < last <= count
        assert last - first + (last < count and room >= LEAST) <= room
        assert (first, last) == (0, count) or count > room


async def test_a_short_list_says_nothing_of_more():
    """All rows in sight: no sign."""
    pick = PickList()
    async with BareList(pick).run_test(size=(40, 10)) as pilot:
        pick.show(rows(10), 9)
        await pilot.pause()
        assert "more" not in str(pick.content) and "▲" not in str(pick.content)


async def test_an_empty_list_gives_nothing():
    """Enter on no row is no pick."""
    pick = PickList()
    app = BareList(pick)
    async with app.run_test(size=(40, 10)) as pilot:
        pick.show([])
        pick.focus()
        await pilot.press("down", "enter")
        assert app.heard == []


async def test_the_mark_stays_where_it_is_when_rows_are_drawn_anew():
    """And comes back into a list that became shorter."""
    pick = PickList()
    async with BareList(pick).run_test(size=(40, 10)) as pilot:
        pick.show(rows(5), 4)
        pick.show(rows(5))
        assert pick.index == 4
        pick.show(rows(2))
        await pilot.pause()
        assert pick.index == 1


async def test_enter_hands_over_a_sentence_without_line_breaks():
    """Enter ends the text; runs of spaces are one."""
    words = Words("It bangs")
    app = BareList(words)
    async with app.run_test(size=(40, 10)) as pilot:
        words.focus()
        await pilot.press("space", "space", "x", "enter")
        assert app.heard == [("given", "It bangs x")]
        assert "\n" not in words.text


async def test_a_field_hands_over_what_stood_there_at_enter():
    """What is typed behind it stays."""
    app = BareList(EntryField)
    async with app.run_test(size=(40, 10)) as pilot:
        field = app.query_one(EntryField)
        field.focus()
        await pilot.press("6", "0", "enter", "7")
        assert app.heard == [("sent", "60")] and field.value == "607"
        field.spend("60")
        assert field.value == "7"


@pytest.mark.parametrize(("value", "spent", "instead", "left"), [
    ("60", "60", "", ""), ("60", "60", "58", "58"), ("6061", "60", "58", "61"), ("x", "60", "", "x"),
])  # fmt: skip
async def test_a_field_is_cleared_of_what_was_taken_only(value, spent, instead, left):
    """A draft stands there only where nothing was typed meanwhile."""
    app = BareList(lambda: EntryField(value))
    async with app.run_test(size=(40, 10)):
        field = app.query_one(EntryField)
        field.spend(spent, instead)
        assert field.value == left


async def test_the_message_line_is_a_rule_until_there_is_something_to_say():
    """And again afterwards."""
    line = MessageLine()
    async with BareList(line).run_test(size=(40, 10)) as pilot:
        line.say()
        assert set(str(line.content)) == {"─"}
        line.say("Type the reading first.")
        await pilot.pause()
        assert str(line.content) == "Type the reading first." and line.has_class("-says")
        line.say()
        assert not line.has_class("-says")


def test_the_ranking_beside_a_step_has_percent_bar_and_name():
    """The likeliest first, as many as there is room for, each whole; a long name takes several lines."""
    ranked = [
        RankedFault(f"f{n}", "A fault with a rather long name that does not fit", 0.9 / (n + 1))
        for n in range(9)
    ]
    lines = [str(x) for x in standing_lines(ranked, 38)]
    assert len(lines) == 1 + 3 * SHOWN + 1 and lines[1].startswith(" 90 % ━━━")
    assert lines[-1] == "and 3 more, each less likely"
    assert all(len(x) <= 38 for x in lines) and " ".join(" ".join(lines[2:4]).split()) == ranked[0].says
    assert len(standing_lines(ranked, 38, room=9)) == 1 + 3 * 2 + 1
    assert len(standing_lines(ranked, 38, len(ranked), 60)) == 1 + 3 * 9


def test_an_unlikely_fault_has_no_bar():
    """Below half a percent there is nothing to draw."""
    assert "━" not in str(standing_lines([RankedFault("f", "Fault", 0.001)], 38)[1])
