"""The ids chosen at a step as one text, and back."""

import pytest

from wizard.domain.chosen_answers import chosen_text, only, read_chosen
from wizard.domain.vocabulary import AnswerHow


@pytest.mark.parametrize(
    ("chosen", "many", "text"),
    [
        (("yes",), False, "yes"),
        (("none",), False, "none"),
        ((), True, "none"),
        (("front",), True, "front"),
        (("front", "back"), True, "front+back"),
    ],
)
def test_what_is_written_is_read_again(chosen: tuple[str, ...], many: bool, text: str) -> None:
    """'none' is an answer where one is chosen, and nothing where several may be ticked."""
    assert chosen_text(chosen) == text
    assert read_chosen(text, many) == chosen


def test_a_step_that_was_not_done_says_how_it_was_left() -> None:
    assert chosen_text((), AnswerHow.UNABLE) == "unable"
    assert chosen_text((), AnswerHow.NOT_FITTED) == "not-fitted"


def test_only_one_answer_is_the_answer() -> None:
    assert only(("yes",)) == "yes"
    assert only(()) == only(("front", "back")) == ""
