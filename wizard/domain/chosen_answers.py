"""The ids of the answers chosen at a step as one text, and back: what a path, a witness and an attempt write.

In the engine, the journal and a case they are a tuple: of one id; of several where several may be ticked; empty where
none of them is ticked, or where the step was not done, which ``how`` says.
"""

from __future__ import annotations

from collections.abc import Iterable

from wizard.domain.vocabulary import AnswerHow

NONE_TICKED = "none"
USUAL = "usual"
RESERVED = (AnswerHow.UNABLE.value, AnswerHow.NOT_FITTED.value, USUAL)
"""What no answer may be called: a path says by these words that a step was not done, or answered as usual."""
_AND = "+"


def chosen_text(chosen: Iterable[str], how: AnswerHow = AnswerHow.ANSWER) -> str:
    """Return the ids joined by '+', 'none' where there are none; of a step that was not done, ``how``."""
    return (_AND.join(chosen) or NONE_TICKED) if how is AnswerHow.ANSWER else how.value


def read_chosen(text: str, many: bool) -> tuple[str, ...]:
    """Return the ids of a text, the reverse of ``chosen_text``; ``many``: several may be ticked at the step."""
    if not many:
        return (text,)
    return () if text == NONE_TICKED else tuple(text.split(_AND))


def only(chosen: tuple[str, ...]) -> str:
    """Return the id where just one was chosen, else an empty text."""
    return chosen[0] if len(chosen) == 1 else ""
