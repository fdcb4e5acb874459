"""The forms of what stands in a case: answers, faults confirmed, what becomes of them, columns and rows."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wizard.domain.recording_vocabulary import FigureKind, SignalKind
from wizard.domain.vocabulary import CaseAnswerKind, RepairOutcome
from wizard.flow.declaring.declaration_fields import ValueCodec
from wizard.flow.problems import nearest

LARGEST = 1e12
TOP = "top"
REASONS: Mapping[str, CaseAnswerKind] = {
    "unable": CaseAnswerKind.UNABLE,
    "not_fitted": CaseAnswerKind.NOT_FITTED,
    "stop": CaseAnswerKind.STOP,
}
TURNS = "in_turn"
RECORDED = "recorded"
OF = "of"
USUAL = {"usual": True}
"""An answer of a variant that takes its base's away: the step gets the usual one."""
TABLES = ("facts", "answers", "after", "repairs", "ways", "skip", "unmeasured", "steps", "expect")
"""What a variant adds to, key by key; every other key takes the place of its base's."""
OF_ITS_OWN = "steps"
"""What a variant doesn't take over from its base: it goes another way there."""
COLUMNS = ("id", "says", "confirm", "order")
"""What a column may be besides a key of one of the tables."""


@dataclass(frozen=True, slots=True)
class CaseAnswer:
    """One scripted answer: ids of answers, or numbers in the step's unit, or the reason why there is none.

    One number alone stands for every item, way and repeat; several come in the order item, way, repeat. ``turns`` are
    the answers of a step that is asked several times, the last of them from then on. Kind ``stop``: work is stopped
    there, by the stop key, and ``reason`` is the id of the stop. Kind ``recorded``: a spin of this ``signal`` with
    these ``figures``, None where it was looked for and isn't there.
    """

    kind: CaseAnswerKind
    ids: tuple[str, ...] = ()
    numbers: tuple[float, ...] = ()
    reason: str = ""
    turns: tuple[CaseAnswer, ...] = ()
    figures: tuple[tuple[FigureKind, float | None], ...] = ()
    signal: SignalKind = SignalKind.MOTION

    def spread(self, count: int) -> tuple[float, ...]:
        """Return ``count`` numbers; ValueError if there are neither one nor that many."""
        if len(self.numbers) not in (1, count):
            raise ValueError(f"numbers: {len(self.numbers)} are given, this step takes 1 or {count}")
        return self.numbers * count if len(self.numbers) == 1 else self.numbers


def column_keys(column: str) -> tuple[str, ...]:
    """Return the keys that a column of a table of cases stands for: one, or a table's and one in it."""
    table, dot, name = column.partition(".")
    return (table, name) if dot and name else (column,)


def build_answer(value: Any) -> CaseAnswer:
    """Return one answer as it stands in a case: an id, ids, a number, numbers in lists, a reason, or turns."""
    if isinstance(value, Mapping):
        name, reason = next(iter(value.items()))
        if name == RECORDED:
            return _recorded(reason)
        if name == TURNS:
            return CaseAnswer(CaseAnswerKind.TURNS, turns=tuple(build_answer(turn) for turn in reason))
        return CaseAnswer(REASONS[name], reason=reason)
    flat = _flat(value)
    if all(isinstance(v, str) for v in flat):
        return CaseAnswer(CaseAnswerKind.ANSWER, ids=tuple(flat))
    return CaseAnswer(CaseAnswerKind.READINGS, numbers=tuple(float(v) for v in flat))


def _recorded(table: Mapping[str, Any]) -> CaseAnswer:
    """Return the recording of a case: figures by their kind, ``of`` the signal."""
    figures = {name: value for name, value in table.items() if name != OF}
    return CaseAnswer(
        CaseAnswerKind.RECORDED,
        figures=tuple(
            (FigureKind(name), None if value is False else float(value)) for name, value in figures.items()
        ),
        signal=SignalKind(table.get(OF, SignalKind.MOTION)),
    )


def write_answer(answer: CaseAnswer) -> Any:
    """Return an answer as it stands in a case; the reverse of ``build_answer``."""
    if answer.kind is CaseAnswerKind.RECORDED:
        figures: dict[str, Any] = {
            str(kind): False if value is None else value for kind, value in answer.figures
        }
        sound = {OF: str(answer.signal)} if answer.signal is not SignalKind.MOTION else {}
        return {RECORDED: {**sound, **figures}}
    if answer.kind is CaseAnswerKind.TURNS:
        return {TURNS: [write_answer(turn) for turn in answer.turns]}
    if answer.kind is CaseAnswerKind.ANSWER:
        return answer.ids[0] if len(answer.ids) == 1 else list(answer.ids)
    if answer.kind is CaseAnswerKind.READINGS:
        return answer.numbers[0] if len(answer.numbers) == 1 else list(answer.numbers)
    return {answer.kind.value.replace("-", "_"): answer.reason}


def _flat(value: Any) -> list[Any]:
    """Return a value, or what is in lists within lists, as one list."""
    return [leaf for entry in value for leaf in _flat(entry)] if isinstance(value, list) else [value]


def _answer(value: object) -> object:
    """Return an answer that has one of its forms; ValueError for any other."""
    if isinstance(value, dict):
        if len(value) == 1 and set(value) <= set(REASONS) and isinstance(next(iter(value.values())), str):
            return value
        if list(value) == [TURNS] and isinstance(value[TURNS], list) and value[TURNS]:
            for turn in value[TURNS]:
                if turn == USUAL:
                    raise ValueError(f"in {TURNS}: write the usual answer itself, by its id or number")
                _answer(turn)
            return value
        if value == USUAL:
            return value
        if list(value) == [RECORDED] and isinstance(value[RECORDED], dict):
            return _figures(value)
        raise ValueError(
            'write { unable = "why" }, { not_fitted = "why" }, { stop = "id" }, { recorded = {...} } '
            "or { in_turn = [...] }; "
            'a step\'s name with a dot in it stands in quotes: "feet.rock" = "no"'
        )
    if not _numbers(value) and not _words(value):
        raise ValueError("write an answer's id, a list of ids, a number, or a list of numbers")
    return value


def _figures(value: dict[str, Any]) -> object:
    """Return a recording whose figures and signal are known; ValueError for any other."""
    for name, figure in value[RECORDED].items():
        if name == OF:
            if figure not in tuple(SignalKind):
                raise ValueError(f"of: write {' or '.join(SignalKind)}")
            continue
        if name not in tuple(FigureKind):
            raise ValueError(f'"{name}" is no figure of a recording.{nearest(name, FigureKind)}')
        fits = isinstance(figure, int | float) and (figure is False or not isinstance(figure, bool))
        if not fits or not -LARGEST <= figure <= LARGEST:
            raise ValueError(f'"{name}": write its value, or false where it was looked for and isn\'t there')
    return value


def _numbers(value: object) -> bool:
    """Return True for a finite number, or lists of them within lists."""
    if isinstance(value, list):
        return bool(value) and all(_numbers(v) for v in value)
    return isinstance(value, int | float) and not isinstance(value, bool) and -LARGEST <= value <= LARGEST


def _words(value: object) -> bool:
    """Return True for an id or a list of ids."""
    words = value if isinstance(value, list) else [value]
    return all(isinstance(word, str) and word for word in words)


def _confirm(value: object) -> object:
    """Return 'top' or a list of ids; ValueError for anything else."""
    if value == TOP or (isinstance(value, list) and all(isinstance(v, str) for v in value)):
        return value
    raise ValueError('write a list of faults, an empty list for none, or "top" for the one ranked first')


def _outcomes(value: object) -> object:
    """Return what becomes of a fault, or a list of it; ValueError for anything else."""
    known = tuple(outcome.value for outcome in RepairOutcome)
    message = value if isinstance(value, list) else [value]
    if not message or any(word not in known for word in message):
        raise ValueError(f"write one of {', '.join(known)}, or a list of them with one for each visit")
    return value


def _columns(value: object) -> object:
    """Return the columns of a table; ValueError for one that can't be or that stands twice."""
    if not isinstance(value, list) or not all(isinstance(v, str) for v in value):
        raise ValueError("write a list of texts")
    for column in value:
        path = column_keys(column)
        if column not in COLUMNS and not (path[0] in TABLES and len(path) == 2):
            raise ValueError(
                f'"{column}" is no column. Write {", ".join(COLUMNS)}, or a key of a table, as in facts.kind, '
                f"answers.feet.rock or expect.top; tables are {', '.join(TABLES)}"
            )
        if value.count(column) > 1:
            raise ValueError(f'the column "{column}" stands there twice. Take one out')
    return value


def _row(value: object) -> object:
    """Return a row; ValueError where it is no list."""
    if not isinstance(value, list):
        raise ValueError("write a row as a list: a cell for each column")
    return value


SAID = ValueCodec(
    decode=lambda value, _: build_answer(value),
    encode=lambda answer, _: write_answer(answer),
    check=_answer,
    schema={"type": ["string", "number", "array", "object"]},
    words="an id, ids, a number, numbers, or { unable, not_fitted, stop, recorded, in_turn or usual }",
)
"""An answer of a case."""

CONFIRM = ValueCodec(
    decode=lambda value, _: TOP if value == TOP else tuple(value),
    encode=lambda value, _: TOP if value == TOP else list(value),
    check=_confirm,
    schema={"anyOf": [{"const": TOP}, {"type": "array", "items": {"type": "string"}}]},
    words='"top", or list of text',
)
"""The faults confirmed."""

OUTCOMES = ValueCodec(
    decode=lambda value, _: tuple(map(RepairOutcome, [value] if isinstance(value, str) else value)),
    encode=lambda value, _: value[0].value if len(value) == 1 else [outcome.value for outcome in value],
    check=_outcomes,
    schema={
        "anyOf": [
            {"enum": [outcome.value for outcome in RepairOutcome]},
            {"type": "array", "items": {"enum": [outcome.value for outcome in RepairOutcome]}, "minItems": 1},
        ]
    },
    words=f"{', '.join(RepairOutcome)}, or a list of them",
)
"""What becomes of a fault, visit by visit."""

COLUMN_NAMES = ValueCodec(
    decode=lambda value, _: tuple(value),
    encode=lambda value, _: list(value),
    check=_columns,
    schema={"type": "array", "items": {"type": "string"}},
    words="list of text",
)
"""The columns of a table of cases."""

CELLS = ValueCodec(
    decode=lambda value, _: tuple(value),
    encode=lambda value, _: list(value),
    check=_row,
    schema={"type": "array"},
    words="cells",
)
"""One row of a table of cases."""
