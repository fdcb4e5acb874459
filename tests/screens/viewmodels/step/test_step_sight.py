"""What of a step is in sight, key by key, without a screen."""

from types import SimpleNamespace

import pytest

from wizard.domain.references import DrawingRef
from wizard.domain.vocabulary import Aid
from wizard.screens.viewmodels.step.step_drawings import Arrangement, StepDrawings
from wizard.screens.viewmodels.step.step_sight import StepSight, sight_of

PART, MACHINE = DrawingRef("part"), DrawingRef("machine")
BOTH = StepDrawings(PART, MACHINE, {PART: (20, 8), MACHINE: (30, 10)})
ONE = StepDrawings(PART, None, {PART: (20, 8)})
NEAR = Arrangement((PART,), 20)
CHART = ("12 o'clock", "6 o'clock")


def step(untouched):
    """A step as far as its sight asks of it: one with a close-up, nothing of which is read while it is untouched."""
    return SimpleNamespace(drawings=BOTH, untouched=untouched, step=None)


def test_tab_changes_between_the_part_and_the_whole_machine_beside_the_words():
    """Its key is called by what it brings."""
    first = StepSight(BOTH).laid(NEAR, beside=True)
    assert first.picture_key == ("see-whole",) and not first.alone
    second = first.turned()
    assert second.whole and second.picture_key == ("see-closeup",)
    assert not second.laid(NEAR, beside=True).turned().whole


def test_where_there_is_no_room_beside_them_tab_shows_the_drawing_in_place_of_the_words():
    """And the words again."""
    first = StepSight(ONE).laid(NEAR, beside=False)
    assert first.hidden and first.picture_key == ("picture",)
    second = first.turned().laid(NEAR, beside=False)
    assert second.alone and not second.turned().alone


def test_a_picture_that_was_alone_gives_the_words_back_once_there_is_room_for_both():
    """A larger window shows both."""
    assert not StepSight(ONE).laid(NEAR, beside=False).turned().laid(NEAR, beside=True).alone


def test_a_step_without_any_picture_has_no_key_and_tab_changes_nothing():
    """There is nothing to look at."""
    sight = StepSight().laid(Arrangement(), beside=False)
    assert sight.picture_key == sight.chart_key == () and sight.turned() == sight.charted() == sight


@pytest.mark.parametrize(("aid", "key"), [
    (Aid.FEET, "see-feet"), (Aid.CLOCK, "see-clock"), (Aid.RECORDING, "see-swings"), (Aid.TAPS, "see-swings"),
])  # fmt: skip
def test_the_chart_and_the_drawing_take_each_others_place_beside_the_words(aid, key):
    """The key says which of the two comes."""
    chart = StepSight(ONE, CHART, aid).laid(NEAR, beside=True)
    assert chart.lines == CHART and chart.chart_key == ("see-drawing",)
    drawing = chart.charted().laid(NEAR, beside=True)
    assert drawing.lines == () and drawing.chart_key == (key,)
    assert drawing.charted().lines == CHART


def test_a_chart_without_room_comes_in_place_of_the_words_and_goes_again():
    """'*' brings it, and the step again."""
    hidden = StepSight(ONE, CHART, Aid.FEET).laid(NEAR, beside=False)
    assert hidden.chart_key == ("see-feet",)
    shown = hidden.charted().laid(NEAR, beside=False)
    assert shown.alone and shown.chart_key == ("see-step",)
    assert not shown.charted().alone


def test_with_the_chart_beside_the_words_tab_brings_the_whole_machine_in_their_place():
    """What the chart has taken the place of is still a key away."""
    sight = StepSight(BOTH, CHART, Aid.FEET).laid(NEAR, beside=True)
    assert sight.picture_key == ("see-whole",)
    turned = sight.turned()
    assert (turned.alone, turned.own, turned.whole) == (True, True, True)


def test_with_its_first_reading_the_chart_takes_the_place_of_the_close_up():
    """Once it is there, the key decides."""
    begun = sight_of(step(untouched=True), CHART)
    assert begun.lines == () and sight_of(step(untouched=True), CHART, begun).lines == ()
    read = sight_of(step(untouched=False), CHART, begun)
    assert read.lines == CHART
    own = read.laid(NEAR, beside=True).charted()
    assert sight_of(step(untouched=False), CHART, own).lines == ()


def test_a_new_step_begins_with_its_own_words():
    """No warning lies under the picture of the last one."""
    last = sight_of(step(untouched=False), ()).laid(NEAR, beside=False).turned()
    assert last.alone and not sight_of(step(untouched=False), ()).alone
