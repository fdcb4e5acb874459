"""A question before a command, asked in lines: a text, a name, a reason, a word, one of a few, counts of parts."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from wizard.documents.content.part_counts import MOST_PARTS, Needed
from wizard.foreign.limits import LINE_LENGTH, TEXT_LENGTH
from wizard.lines.terminal.line_commands import SIGN, LineWord, find, unknown
from wizard.lines.terminal.talk import Talk
from wizard.lines.terminal.typed_number import echoed, is_number, number_in, span
from wizard.screens.text.shared_sentences import NONE_LISTED
from wizard.screens.viewmodels.questions import (
    NO_WORDS,
    WITHOUT_WORDS,
    ChoiceQuestion,
    NameQuestion,
    PartsQuestion,
    Question,
    ReasonQuestion,
    TextQuestion,
    WhyQuestion,
    WordQuestion,
)

T = TypeVar("T")


class StopAsked(Exception):
    """Work is to be stopped, whatever is being asked."""


WITHIN = (LineWord.BACK, LineWord.STOP)
"""What works besides the answers while something is asked before a command."""


def ask(talk: Talk, question: Question[T]) -> T | None:
    """Ask it and return the answer; None where it was left without one. StopAsked where work is to be stopped."""
    talk.out.gap()
    talk.rows((question.title, *question.says.split("\n"))) if question.says else talk.say(question.title)
    answer: Any
    match question:
        case ChoiceQuestion():
            answer = one_of(talk, question.choices)
        case TextQuestion():
            answer = _text(talk, question)
        case ReasonQuestion():
            answer = _reason(talk, question)
        case WhyQuestion():
            answer = _why(talk)
        case WordQuestion():
            answer = _word(talk, question)
        case PartsQuestion():
            answer = _parts(talk, question)
        case _:
            raise TypeError(f"no line asks a {type(question).__name__}")
    return answer  # type: ignore[no-any-return]


def within(talk: Talk, prompt: str, about: str, words: bool, paths: bool = False) -> str | None:
    """A line that is no command; None for back. ``about`` is said for help. ``paths``: a line may begin with the
    sign of commands and be none.
    """
    while True:
        text = talk.read(prompt)
        found = find(text, WITHIN, words)
        if found is None and unknown(text) and not paths:
            talk.say(f"There is no {echoed(text)} here. {about}")
        elif found is None:
            return text
        elif found[0] is LineWord.BACK:
            talk.say("Left. Nothing was done.")
            return None
        elif found[0] is LineWord.STOP:
            raise StopAsked
        else:
            talk.say(about)


def _about(first: str, words: bool) -> str:
    sign = SIGN if words else ""
    return f"{first} {sign}back goes back and changes nothing; {sign}stop stops work."


def one_of(talk: Talk, choices: Sequence[tuple[str, str]], start: str = "") -> str | None:
    """One of a few by its number; its id. ``start``: the one that Enter alone takes."""
    for n, (_id, says) in enumerate(choices, start=1):
        talk.say(says, f"{n}: ")
    ids = [choice for choice, _says in choices]
    numbers = span(len(ids))
    enter = f", Enter for {ids.index(start) + 1}" if start in ids else ""
    about = _about(f"Type the number of what fits, {numbers}{enter}.", False)
    while True:
        text = within(talk, f"Number, {numbers}{enter}, or back", about, False)
        if text is None:
            return None
        if not text and start in ids:
            return start
        if number := number_in(text, len(ids)):
            return ids[number - 1]
        talk.say(f"There is no {echoed(text)} here: type {numbers}.")


def typed(
    talk: Talk, prompt: str, about: str, wrong: Callable[[str], str], most: int = LINE_LENGTH
) -> str | None:
    """A text that nothing is wrong with; None for back."""
    about = _about(about, True)
    while True:
        text = within(talk, prompt, about, True)
        if text is None:
            return None
        long = f"That is {len(text)} characters long; {most} are taken at most." if len(text) > most else ""
        if why := long or wrong(text):
            talk.say(why)
        else:
            return text


def _text(talk: Talk, question: TextQuestion) -> str | None:
    enter = (
        f", Enter for {question.start}" if question.start else ", Enter for none" if question.empty else ""
    )
    about = f"Type it and press Enter{enter}."
    given = typed(
        talk,
        f"{'Name' if isinstance(question, NameQuestion) else 'Text'}{enter}, or {SIGN}back",
        about,
        lambda text: question.wrong(text or question.start),
        question.most,
    )
    return given if given is None else given or question.start


def _reason(talk: Talk, question: ReasonQuestion) -> str | None:
    for n, says in enumerate(question.offers, start=1):
        talk.say(says, f"{n}: ")
    count = len(question.offers)
    about = (
        "Type the number of the reason that fits, or write another one in a few words; they stand in the record."
        if count
        else "Say it in a few words; they are kept in the record."
    )

    def wrong(text: str) -> str:
        if count and is_number(text) and not number_in(text, count):
            return f"There is no {echoed(text)} here: {span(count)}, or your words."
        return "" if text else NO_WORDS

    prompt = f"Number, {span(count)}, or your words" if count else "Your words"
    given = typed(talk, f"{prompt}, or {SIGN}back", about, wrong, TEXT_LENGTH)
    number = number_in(given or "", count)
    return question.offers[number - 1] if number else given


def _why(talk: Talk) -> str | None:
    """None need be given: an empty one is taken when Enter alone comes twice."""
    warned = False

    def wrong(text: str) -> str:
        nonlocal warned
        again, warned = warned, True
        return "" if text or again else WITHOUT_WORDS

    about = "Say it in a few words; they are kept in the record. Enter alone, twice, goes on without."
    return typed(talk, f"Your words, or {SIGN}back", about, wrong, TEXT_LENGTH)


def _word(talk: Talk, question: WordQuestion) -> bool | None:
    prompt, about = f"{question.wanted.removesuffix('.')}, or {SIGN}back", _about(question.wanted, True)
    while (given := within(talk, prompt, about, True)) is not None:
        if not (why := question.wrong(given)):
            return True
        talk.say(why)
    return None


def _parts(talk: Talk, question: PartsQuestion) -> Any:
    """The counts can be changed part by part; Enter takes them."""
    listed = list(question.needed)
    about = _about(
        "Type the number of a part, an equals sign and how many: 1=2. Enter alone takes the list.", False
    )
    while True:
        for n, part in enumerate(listed, start=1):
            talk.say(f"{part.count} x {part.says}{'' if part.count else ' (left out)'}", f"{n}: ")
        text = within(talk, "Enter takes this list, or 1=2 and so on, or back", about, False)
        if text is None:
            return None
        if not text:
            parts = tuple(p.fitted for p in listed if p.count)
            if parts or question.none:
                return parts
            talk.say(f"{NONE_LISTED} Add a part, or go back.")
            continue
        number, _, count = (x.strip() for x in text.partition("="))
        chosen, many = number_in(number, len(listed)), number_in(count, MOST_PARTS, 0)
        if chosen and many >= 0:
            part = listed[chosen - 1]
            listed[chosen - 1] = Needed(part.id, part.says, many)
        else:
            talk.say(f"{echoed(text)}: type the number of a part, an equals sign and how many, such as 1=2.")
