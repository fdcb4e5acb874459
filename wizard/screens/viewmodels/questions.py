"""What is asked before a command, as plain data: a text, a name, a reason, a typed word, one of a few, counts of parts.

The screens lay a panel over the step for each (``wizard/screens/dialogs``), the line mode writes it out and reads a
line; the words are the same.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum, unique
from typing import Generic, TypeVar

from wizard.documents.content.part_counts import Needed
from wizard.engine.messages.repair_parts import PartFitted
from wizard.flow.model import Fact
from wizard.foreign.limits import LINE_LENGTH, NAME_LENGTH

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Question(Generic[T]):
    """The base: its title, and what is said to it. ``T`` is what it ends with."""

    title: str
    says: str


@dataclass(frozen=True, slots=True)
class TextQuestion(Question[str]):
    """One line of text, ``most`` characters of it; an empty one only where ``empty`` allows it."""

    start: str = ""
    empty: bool = False
    most: int = LINE_LENGTH

    def wrong(self, text: str) -> str:
        """Why this text is not taken; empty where it is."""
        return "" if text or self.empty else "Nothing is typed yet."


@dataclass(frozen=True, slots=True)
class NameQuestion(TextQuestion):
    """Somebody's name: of it a record and a paper speak, so that a slip of a digit is none."""

    most: int = NAME_LENGTH

    def wrong(self, text: str) -> str:
        """What has no letter is nobody's name."""
        letters = any(each.isalpha() for each in text)
        missing = TextQuestion.wrong(self, text)
        return missing or ("" if letters else f"{text} is no name: type one with letters.")


NO_WORDS = "Write a few words first."


@dataclass(frozen=True, slots=True)
class ReasonQuestion(Question[str]):
    """A sentence that says why; ``offers`` are reasons to pick from by their digit."""

    start: str = ""
    offers: Sequence[str] = ()


WITHOUT_WORDS = "Nothing is written, and a reviewer will see so. Enter again goes on without."


@dataclass(frozen=True, slots=True)
class WhyQuestion(Question[str]):
    """A sentence that says why, where none need be given; empty only when Enter is pressed twice."""


@dataclass(frozen=True, slots=True)
class WordQuestion(Question[bool]):
    """For what can't be undone: a word typed in full. Ends with True."""

    word: str = ""

    @property
    def wanted(self) -> str:
        """What is to be typed, as a sentence."""
        return f"Type {self.word} to do it."

    def wrong(self, text: str) -> str:
        """Why this is not the word; empty where it is."""
        return "" if text.strip().upper() == self.word else f"That is not {self.word}. Nothing was done."


@dataclass(frozen=True, slots=True)
class ChoiceQuestion(Question[str]):
    """One of a few, each with its words. Ends with its id."""

    choices: Sequence[tuple[str, str]] = ()


@dataclass(frozen=True, slots=True)
class PartsQuestion(Question[tuple[PartFitted, ...]]):
    """Which parts, with their counts; ``none`` where a repair may need none of them after all."""

    needed: tuple[Needed, ...] = ()
    none: bool = False


@unique
class SureReply(StrEnum):
    """What is said of a number outside what is usual: it is right, or is typed again."""

    RIGHT = "right"
    AGAIN = "again"


@unique
class YesReply(StrEnum):
    """What is said to a question of yes or no."""

    YES = "yes"
    NO = "no"


def ask_sure(says: str) -> ChoiceQuestion:
    """Whether what was typed is right though it lies outside what is usual. Ends with a ``SureReply``."""
    choices = (
        (SureReply.RIGHT, "It is right as it is typed"),
        (SureReply.AGAIN, "Type it again"),
    )
    return ChoiceQuestion("Is it right?", says, choices)


def ask_yes(title: str, says: str, yes: str, no: str) -> ChoiceQuestion:
    """Yes or no, in words. Ends with a ``YesReply``."""
    return ChoiceQuestion(title, says, ((YesReply.YES, yes), (YesReply.NO, no)))


def how_many(fact: Fact) -> ChoiceQuestion:
    """How many there are, of what nobody has counted yet. Ends with the value of the fact."""
    counts = tuple((value.id, value.says) for value in fact.values if not value.later)
    return ChoiceQuestion(
        "How many are there?", f"{fact.ask} Nobody has counted yet: count them now.", counts
    )


def fitted_parts(needed: tuple[Needed, ...]) -> PartsQuestion:
    """Which parts went in, beginning with what the repair needs."""
    says = (
        "What this repair needs here is filled in. Change it to what you really fitted; 0 leaves a part out."
    )
    return PartsQuestion("Which parts did you fit?", says, needed, True)


def ordered_parts(needed: tuple[Needed, ...]) -> PartsQuestion:
    """Which parts are on order, beginning with what the repair needs."""
    says = (
        "What this repair needs here is filled in. Change it to what you really ordered; 0 leaves a part out."
    )
    return PartsQuestion("Which parts are on order?", says, needed)
