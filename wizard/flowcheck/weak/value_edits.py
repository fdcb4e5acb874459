"""The ways in which the value of a key is edited: each as keys below it, what it gives way to, and the change."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from wizard.domain.references import END
from wizard.domain.vocabulary import Price, Verdict
from wizard.flow.parsing.toml_positions import Path
from wizard.flowcheck.weak.edit_kinds import EditChange
from wizard.flowcheck.weak.edited_keys import EditWay
from wizard.measure.quantities.unit_table import UNITS
from wizard.measure.quantities.units import find

_END = str(END)
NEARLY_SURE = 0.99
"""To what a chance is raised at most."""
QUARTER = 0.25
"""How far an edge is moved, of its own value, where the tool's uncertainty isn't more."""
FOURFOLD = 4.0
"""How many standard uncertainties of the tool an edge is moved at least."""
_OTHER_WORDS: Mapping[str, Verdict | Price] = {
    Verdict.PASS: Verdict.FAIL, Verdict.WATCH: Verdict.PASS, Verdict.FAIL: Verdict.PASS,
    Price.LOW: Price.HIGH, Price.MIDDLE: Price.LOW, Price.HIGH: Price.LOW,
}  # fmt: skip
"""Of a word that is edited the one that is written in its place."""


@dataclass(frozen=True, slots=True)
class ValueEdit:
    """``below`` the key, ``value`` in place of what stands there (None: nothing), and what change that is.

    ``alone``: it is the only entry, so that nothing is left of the key once it is out.
    """

    below: Path
    value: Any
    change: EditChange
    alone: bool = False


def value_edits(way: EditWay, value: Any, nearer: str = "", off: float = 0.0) -> Iterator[ValueEdit]:
    """Yield the edits of a value in one way. ``nearer`` is a reach that asks for less, ``off`` how far edges move."""
    match way:
        case EditWay.WHOLE:
            if value is not False:
                yield ValueEdit((), None, EditChange.REMOVED)
        case EditWay.EACH:
            entries = list(value) if isinstance(value, dict) else list(range(len(value)))
            for entry in entries:
                yield ValueEdit((entry,), None, EditChange.REMOVED, alone=len(entries) == 1)
        case EditWay.NUMBER:
            yield from _numbers((), value)
        case EditWay.WEIGHTS:
            yield from _weights(value)
        case EditWay.EDGE:
            yield ValueEdit((), value + off, EditChange.RAISED)
            yield ValueEdit((), value - off, EditChange.LOWERED)
        case EditWay.WORD:
            yield ValueEdit((), _OTHER_WORDS[value].value, EditChange.SWAPPED)
        case EditWay.UNIT:
            if other := _other_unit(value):
                yield ValueEdit((), other, EditChange.SWAPPED)
        case EditWay.END:
            if value != _END:
                yield ValueEdit((), _END, EditChange.SWAPPED)
        case EditWay.NEARER:
            if nearer and nearer != value:
                yield ValueEdit((), nearer, EditChange.NEARER)


def _weights(value: Any) -> Iterator[ValueEdit]:
    """Each number of a list or a table: halved, doubled, taken out."""
    for entry, number in value.items() if isinstance(value, dict) else enumerate(value):
        yield from _numbers((entry,), number)
        yield ValueEdit((entry,), None, EditChange.REMOVED, alone=len(value) == 1)


def _numbers(below: Path, number: float) -> Iterator[ValueEdit]:
    if not number:
        return
    yield ValueEdit(below, max(1, number // 2) if isinstance(number, int) else number / 2, EditChange.HALVED)
    twice = min(2 * number, NEARLY_SURE) if 0 < number <= 1 else 2 * number
    if twice > number * (1 + QUARTER):
        yield ValueEdit(below, twice, EditChange.DOUBLED)


def _other_unit(unit: str) -> str:
    """Another unit of the same dimension, the nearest one in size that differs; empty where there is none."""
    known = find(unit)
    here = known.factor, known.offset
    others = [u for u in UNITS if u.dimension == known.dimension and (u.factor, u.offset) != here]
    return (
        min(others, key=lambda u: max(u.factor / known.factor, known.factor / u.factor)).symbol
        if others
        else ""
    )
