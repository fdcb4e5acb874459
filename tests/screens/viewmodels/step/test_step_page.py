"""How a step is laid out: what gives way first where there is little room."""

from textual.content import Content

from wizard.domain.references import DrawingRef
from wizard.screens.viewmodels.step.body_room import BodyRoom
from wizard.screens.viewmodels.step.step_columns import EVIDENCE
from wizard.screens.viewmodels.step.step_drawings import GAP, StepDrawings
from wizard.screens.viewmodels.step.step_page import step_page
from wizard.screens.viewmodels.step.step_sight import StepSight

PART, MACHINE = DrawingRef("part"), DrawingRef("machine")
BOTH = StepDrawings(PART, MACHINE, {PART: (20, 6), MACHINE: (28, 8)})


def words(count):
    """A step of so many lines, however wide."""
    return lambda _width, _airy: [Content("word")] * count


def page(room, sight, count=5, mapped=True, narrowest=0):
    """It laid out in all the lines of a room."""
    return step_page(words(count), lambda _width: room.lines, room, sight, mapped, narrowest)


def test_on_a_wide_screen_map_and_evidence_stand_beside_the_words():
    """With both drawings, one over the other; without a map before the machine is known."""
    room = BodyRoom(118, 40, True)
    shown = page(room, StepSight(BOTH))
    assert shown.layout.beside and shown.map and shown.shown.drawings == (PART, MACHINE)
    assert shown.width == 118 - shown.columns.map - max(28, shown.columns.evidence) - GAP
    assert page(room, StepSight(BOTH), mapped=False).map == 0


def test_without_a_drawing_the_evidence_stands_there_alone():
    """At 110 columns there is no map yet."""
    shown = page(BodyRoom(108, 29, True), StepSight())
    assert shown.layout.beside and shown.width == 108 - EVIDENCE - GAP and shown.map == 0


def test_on_a_narrow_screen_the_close_up_stands_beside_the_words_or_the_whole_machine():
    """Whichever is asked for."""
    room = BodyRoom(78, 17, False)
    assert page(room, StepSight(BOTH)).shown.drawings == (PART,)
    assert page(room, StepSight(BOTH, whole=True)).shown.drawings == (MACHINE,)


def test_words_that_need_the_room_have_all_of_it():
    """Too many lines, or a table that is too wide: nothing stands beside them."""
    room = BodyRoom(78, 17, False)
    tall = page(room, StepSight(BOTH), count=18)
    assert not tall.layout.beside and tall.width == 78 and tall.map == 0
    assert not page(room, StepSight(BOTH), narrowest=70).layout.beside


def test_a_chart_takes_the_place_of_both_drawings():
    """Its columns are those of its longest line."""
    shown = page(BodyRoom(78, 17, False), StepSight(BOTH, ("x" * 24,)))
    assert shown.width == 78 - 24 - GAP
