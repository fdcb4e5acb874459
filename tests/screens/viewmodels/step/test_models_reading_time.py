"""How long a step takes to read."""

import pytest

from wizard.domain.vocabulary import SignalWord
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Caution, TellStep
from wizard.flow.model.steps import HandsStep
from wizard.screens.viewmodels.step.reading_time import least_seconds, reading_seconds


@pytest.mark.parametrize(
    ("do", "seconds"),
    [
        ("Look.", 1.2),
        ("Pull the plug and bag it.", 2.2),
        (" ".join(["word"] * 25), 6.0),
        ("word " * 200, 6.0),
    ],
)
def test_a_second_and_a_fifth_for_each_word_and_never_more_than_six(do, seconds):
    assert reading_seconds(TellStep(id="s", reach="talk", do=do)) == pytest.approx(seconds)


def test_what_to_expect_and_the_cautions_are_read_too():
    """They stand on the same screen; the minutes of the step don't count."""
    step = TellStep(
        id="s",
        reach="talk",
        do="One two.",
        expect="Three four.",
        caution=(Caution(word=SignalWord.DANGER, says="Five six."),),
    )
    assert reading_seconds(step) == pytest.approx(1.0 + 6 / 5)
    bare = TellStep(id="s", reach="talk", do="One two.", minutes=30.0)
    assert reading_seconds(bare) == pytest.approx(1.0 + 2 / 5)


def test_what_takes_longer_to_do_than_to_read_is_held_that_long():
    """Screws take their time; what is told in more words than it takes to do is held by its words."""
    do = "Put the panel back, with every screw."
    assert least_seconds(TellStep(id="s", reach="talk", do=do, takes=15.0)) == 15.0
    assert least_seconds(TellStep(id="s", reach="talk", do=do, takes=1.0)) == reading_seconds(
        TellStep(id="s", reach="talk", do=do)
    )


def test_the_shipped_times_are_those_of_quick_hands():
    """No step is held longer than a third of what it usually takes, nor longer than half a minute (estimates)."""
    flow = load(folder_of("washer-shake"), lambda _digest: True)
    held = [s for i in flow.inspections.values() for s in i.steps if isinstance(s, HandsStep) and s.takes]
    assert len(held) > 20 and all(s.takes <= min(30.0, 20.0 * s.minutes) for s in held)
