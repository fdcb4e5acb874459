"""The answers of the step on screen as rows: each behind the key that gives it."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from textwrap import shorten

from wizard.domain.vocabulary import StepKind
from wizard.engine.queries.stopping_answers import stops_work
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Step
from wizard.screens.text.answer_numbering import Numbered, numbering

_MARKED = 44
"""How much of a marked answer is said again."""


@dataclass(frozen=True, slots=True)
class AnswerRow:
    """One answer: its key, its words; whether it is ticked (None where one only may be chosen), or stops work."""

    key: str
    says: str
    ticked: bool | None = None
    stops: bool = False


def answer_rows(view: JobView, step: Step, ticked: Collection[str]) -> list[AnswerRow]:
    """The answers with their keys; what Enter gives stands last."""
    if step.kind is StepKind.TELL:
        return [AnswerRow("Enter", "Done")]
    rows = [
        AnswerRow(
            n.digit,
            n.answer.says,
            n.answer.id in ticked if step.many else None,
            stops_work(view, step, n.answer),
        )
        for n in numbering(view)
    ]
    if step.many and (ticked or not step.where):
        rows.append(AnswerRow("Enter", "That is all I see" if ticked else "None of these"))
    return rows


def marked_words(again: Numbered) -> str:
    """What is said where the digit of an answer gave the one before as well: it is only marked. One row of the smallest
    screen, so that no answer is hidden by it.
    """
    return (
        f"{again.digit} twice running. Enter gives: {shorten(again.answer.says, _MARKED, placeholder='...')}"
    )
