"""How long a step takes to read."""

import pytest

from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import Caution, TellStep
from wizard.screens.viewmodels.step.reading_time import reading_seconds


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
