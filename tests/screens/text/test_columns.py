"""Which layout a step gets, and how its words become lines."""

from textual.content import Content

from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import Caution, Inspection, TellStep
from wizard.screens.text.columns import fit, stack
from wizard.screens.text.step_sentences import cautions_of
from wizard.screens.text.step_text import labelled, wrap


def lines(count_wide: int, count_narrow: int, airy_more: int):
    """A left column that needs so many lines."""

    def draw(width, airy):
        return [Content("x")] * ((count_narrow if width < 60 else count_wide) + (airy_more if airy else 0))

    return draw


def test_the_drawing_stands_beside_the_words_when_both_fit():
    """Airy if there is room."""
    layout = fit(lines(5, 8, 3), 78, 17, 39)
    assert layout.beside and len(layout.lines) == 11


def test_the_words_close_up_before_the_drawing_goes():
    """Close lines beside the drawing rather than airy ones without it."""
    layout = fit(lines(5, 16, 3), 78, 17, 39)
    assert layout.beside and len(layout.lines) == 16


def test_the_drawing_goes_on_a_key_when_the_words_need_the_width():
    """Words come first."""
    layout = fit(lines(9, 20, 3), 78, 17, 39)
    assert not layout.beside and len(layout.lines) == 12


def test_what_fits_nowhere_is_shown_close_and_alone():
    """The last resort still has all lines."""
    assert len(fit(lines(30, 40, 3), 78, 17, 39).lines) == 30


def test_blocks_are_set_apart_by_one_empty_line():
    """Empty blocks take no room."""
    found = stack([Content("a")], [], [Content("b"), Content("c")])
    assert [str(x) for x in found] == ["a", "", "b", "c"]


def test_an_inspection_s_small_warnings_are_said_at_its_start_and_its_grave_ones_always():
    """Danger and warning stay for every step; caution and notice are said once; none is said twice."""
    grave, small = (
        Caution(word=SignalWord.DANGER, says="It kills."),
        Caution(word=SignalWord.CAUTION, says="It cuts."),
    )
    step = TellStep(id="s", do="Do it.", reach="talk", caution=(grave,))
    inspection = Inspection(id="i", title="I", minutes=1, steps=(step,), caution=(grave, small))
    assert cautions_of(inspection, step, first=True) == (grave, small)
    assert cautions_of(inspection, step, first=False) == (grave,)


def test_wrapping_keeps_every_word():
    """No word is lost, no line is too long."""
    text = "Lay the level on the bare top, side to side, then front to back. " * 3
    found = [str(x) for x in wrap(text, 30)]
    assert max(map(len, found)) <= 30 and " ".join(found).split() == text.split()


def test_a_label_stands_before_its_text():
    """Only the first line has it."""
    found = [str(x) for x in labelled("Call:", "A licensed electrician, before anybody touches it", 30)]
    assert found[0].startswith("Call: A licensed") and not any("Call:" in x for x in found[1:])
