"""The schema of a case: scripted answers, and the result expected."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, WithJsonSchema

from wizard.flow.schema.base import LARGEST, NONE, Id, Minutes, StepPath, Table, Text

REASONS = ("unable", "not_fitted", "stop")
TURNS = "in_turn"
OUTCOMES = Literal["proved", "not-proved", "no-fault", "declined", "on-order", "stopped"]


def _answer(value: object) -> object:
    """Return an answer: an id, ids, a number, numbers, a reason, or several in turn."""
    if isinstance(value, dict):
        if len(value) == 1 and set(value) <= set(REASONS) and isinstance(next(iter(value.values())), str):
            return value
        if list(value) == [TURNS] and isinstance(value[TURNS], list) and value[TURNS]:
            for turn in value[TURNS]:
                _answer(turn)
            return value
        raise ValueError(
            'write { unable = "why" }, { not_fitted = "why" }, { stop = "id" } or { in_turn = [...] }; '
            'a step\'s name with a dot in it stands in quotes: "feet.rock" = "no"'
        )
    if not _numbers(value) and not _words(value):
        raise ValueError("write an answer's id, a list of ids, a number, or a list of numbers")
    return value


def _numbers(value: object) -> bool:
    """True for a finite number, or lists of them within lists."""
    if isinstance(value, list):
        return bool(value) and all(_numbers(v) for v in value)
    return isinstance(value, int | float) and not isinstance(value, bool) and -LARGEST <= value <= LARGEST


def _words(value: object) -> bool:
    """True for an id or a list of ids."""
    words = value if isinstance(value, list) else [value]
    return all(isinstance(word, str) and word for word in words)


def _confirm(value: object) -> object:
    """Return 'top' or a list of ids."""
    if value == "top" or (isinstance(value, list) and all(isinstance(v, str) for v in value)):
        return value
    raise ValueError('write a list of faults, an empty list for none, or "top" for the one ranked first')


Outcome = Literal["fitted", "declined", "on-order"]
Skipped = Annotated[str, Field(pattern=r"^(recheck:)?[a-z0-9-]+(\.[a-z0-9-]+)?$")]
CaseAnswer = Annotated[
    Any,
    BeforeValidator(_answer),
    WithJsonSchema({"type": ["string", "number", "array", "object"]}),
]
Confirm = Annotated[
    Any,
    BeforeValidator(_confirm),
    WithJsonSchema({"anyOf": [{"const": "top"}, {"type": "array", "items": {"type": "string"}}]}),
]


class Expect(Table):
    """How the case must end."""

    top: Id = Field(default="", description="The fault ranked first when the decision is taken.")
    decided: list[Id] | None = Field(default=None, description="The faults that are decided (0.9 or more).")
    confirmed: list[Id] | None = Field(default=None, description="The faults confirmed.")
    outcome: OUTCOMES = Field(description="How the job ends.")
    stop: Id = Field(default="", description="The stop it ends with.")
    bars: list[Id] | None = Field(default=None, description="The bars in force at the end.")
    debts: list[Id] | None = Field(default=None, description="The debts at the end.")
    minutes_below: Minutes | None = Field(default=None, description="It takes fewer minutes than this.")


class Head(Table):
    """The machine, the answers, the decision."""

    id: Id = Field(description="The case's id.")
    says: Text = Field(description="What it shows.")
    facts: dict[Id, Text] = Field(default={}, description="Machine facts. Left out: the usual value.")
    answers: dict[StepPath, CaseAnswer] = Field(
        default={}, description="Answers by inspection.step. Left out: the answer marked usual."
    )
    after: dict[StepPath, CaseAnswer] = Field(
        default={}, description="Answers when measured after the repair."
    )
    confirm: Confirm = Field(default="top", description='Faults confirmed: a list, or "top".')
    repairs: dict[Id, Outcome | Annotated[list[Outcome], Field(min_length=1)]] = Field(
        default={},
        description="What becomes of each confirmed fault; a list has one for each visit. Left out: fitted.",
    )
    order: list[Id] | None = Field(
        default=None, description="The inspections before the decision. Left out: the flow's own order."
    )
    skip: dict[Skipped, Text] = Field(
        default={},
        description="Inspections passed over, with the reason. recheck:NAME for what is measured again.",
    )
    expect: Expect = Field(description="How it must end.")


class Attempt(Table):
    """An attempt to get past a rule, which must be refused."""

    at: StepPath = Field(description="When this step is asked.")
    do: Annotated[
        str,
        Field(pattern=r"^(skip-gate|undo|restart|break|(answer|open|correct|pause|forge):[a-z0-9.:+-]+)$"),
    ] = Field(
        description="skip-gate, undo, open:inspection, answer:inspection.step:answer, and those after which the step "
        "must be refused: restart, break, pause:seconds, correct:inspection.step:answer, forge:state."
    )
    refused: Id = Field(description="The reason it must be refused for.")


class CaseFile(Table):
    """One file of cases/."""

    case: Head = Field(description="The case.")
    attempt: list[Attempt] = Field(default=NONE, description="Attempts that must be refused.")
