"""A question before a command, by lines: each kind takes what fits, and says in a sentence what doesn't."""

from __future__ import annotations

import io
from collections.abc import Callable

import pytest

from tests.helpers.jobs import HandClock
from tests.helpers.terminal_program.line_stage import ScriptedSource
from wizard.documents.content.part_counts import Needed
from wizard.lines.terminal.line_asking import ask
from wizard.lines.terminal.line_output import LineOutput
from wizard.lines.terminal.talk import Talk
from wizard.lines.terminal.typed_number import ECHOED
from wizard.screens.viewmodels.questions import (
    ChoiceQuestion,
    PartsQuestion,
    Question,
    ReasonQuestion,
    WordQuestion,
)

DIGITS = "9" * 5_000


def asked(question: Question[object], *lines: str) -> tuple[object, str]:
    """The answer to a question where these lines are typed, and what was written."""
    clock, raw = HandClock(), io.BytesIO()
    source = ScriptedSource(clock)
    source.lines.extend(lines)
    stream = io.TextIOWrapper(raw, encoding="utf-8", write_through=True)
    found = ask(Talk(LineOutput(stream, {}, lambda: 80), source, clock.mono), question)
    assert not source.lines, "lines are left: it was answered too early"
    return found, " ".join(raw.getvalue().decode().split())


CHOICES = ChoiceQuestion("Which?", "", (("a", "The first"), ("b", "The second")))
REASON = ReasonQuestion("Why?", "", offers=("No time", "No tool"))
PARTS = PartsQuestion("Which parts?", "", (Needed("damper", "damper", 2),))


@pytest.mark.parametrize(
    ("question", "typed", "last", "answer"),
    [
        (CHOICES, DIGITS, "2", lambda found: found == "b"),
        (REASON, DIGITS[:3_999], "2", lambda found: found == "No tool"),
        (PARTS, f"1={DIGITS}", "", lambda found: [part.count for part in found] == [2]),
        (PARTS, f"{DIGITS}=1", "", lambda found: [part.count for part in found] == [2]),
    ],
    ids=["choice", "reason", "count", "part"],
)
def test_a_number_of_thousands_of_digits_is_no_answer_and_no_defect(
    question: Question[object], typed: str, last: str, answer: Callable[[object], bool]
) -> None:
    """Python refuses to make a number of 5,000 digits: that was logged as a defect. It is one sentence, and not all of
    it stands in that.
    """
    found, text = asked(question, typed, last)
    assert answer(found)
    assert "9" * (ECHOED - 2) in text and "9" * (ECHOED + 1) not in text


def test_a_word_that_is_typed_wrong_is_asked_again() -> None:
    """One wrong letter left the question, and all that led to it had to be typed again."""
    found, text = asked(WordQuestion("Close?", "", "CLOSE"), "CLOES", "close it", "CLOSE")
    assert found is True and text.count("CLOSE") >= 3
    assert asked(WordQuestion("Close?", "", "CLOSE"), "CLOES", "/back")[0] is None
