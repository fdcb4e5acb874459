"""What the figures of a recorded spin mean by the rows of their step: findings, and the answers that they give."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from wizard.domain.recording_vocabulary import SURE_THERE, FigureKind
from wizard.domain.vocabulary import Verdict
from wizard.engine.measuring.needed_spin import lacking, turns
from wizard.engine.measuring.spin_comparison import comparison
from wizard.engine.messages.spin_record import KeptFigure, SpinRecord
from wizard.flow.model import FigureMeaning, RecordStep
from wizard.measure.uncertainty import conformity

SURE = 0.95
"""How likely a row must hold before it answers a step: below that a person is asked."""

NEUTRAL = 0.5
"""The evidence that says nothing of a finding."""

_SILENT = 0.02  # of evidence: nearer to neutral nothing was said


@dataclass(frozen=True, slots=True)
class HeldRow:
    """A row of a step, with how likely it holds and the sentences of the figures that it goes by."""

    row: FigureMeaning
    chance: float
    says: tuple[str, ...]


def held(step: RecordStep, record: SpinRecord, before: SpinRecord | None = None) -> tuple[HeldRow, ...]:
    """The rows that a recording can tell, in their order; ``before``: the one that it is set beside."""
    found = ((row, _chance(row, record, before)) for row in step.figures if row.of in (None, record.signal))
    return tuple(
        HeldRow(row, chance, tuple(f.says for f in record.of(row.figure) if f.told or f.there is not None))
        for row, chance in found
        if chance is not None
    )


def evidence(step: RecordStep, record: SpinRecord, before: SpinRecord | None = None) -> Mapping[str, float]:
    """The evidence of each finding, from 0 to 1. Of rows that speak of one finding the strongest that finds it counts;
    where none does, the strongest that rules it out: one recording is one witness.

    One that lacks the spin that its step needs speaks against nothing, and for what is seen while a drum turns.
    """
    heard: dict[str, list[float]] = {}
    whole = not lacking(step, record, before)
    for one in held(step, record, before) if whole or turns(record) else ():
        for finding, weight in one.row.finds.items():
            if whole or not one.row.missing:
                heard.setdefault(finding, []).append(NEUTRAL + one.chance * (weight - NEUTRAL))
        for finding, weight in one.row.rules_out.items() if whole else ():
            heard.setdefault(finding, []).append(NEUTRAL - one.chance * (weight - NEUTRAL))
    most = {finding: _strongest(each) for finding, each in heard.items()}
    return {finding: round(e, 6) for finding, e in most.items() if abs(e - NEUTRAL) > _SILENT}


def _strongest(each: list[float]) -> float:
    return max(each) if max(each) > NEUTRAL + _SILENT else min(each)


def answers(step: RecordStep, record: SpinRecord, before: SpinRecord | None = None) -> Mapping[str, str]:
    """The steps that the recording answers, each with the answer of the first row that is sure, if no row before it
    would have a person asked; none where it lacks the spin that its step needs.
    """
    given: dict[str, str] = {}
    for one in () if lacking(step, record, before) else held(step, record, before):
        if one.chance >= SURE:
            given = {**one.row.fills, **given}
        if one.chance > NEUTRAL:
            given = {**dict.fromkeys(one.row.asks, ""), **given}
    return {name: answer for name, answer in given.items() if answer}


def readings(
    step: RecordStep, record: SpinRecord, before: SpinRecord | None = None
) -> Mapping[str, KeptFigure]:
    """The measure steps whose reading the recording has, each with the figure; none where it lacks the spin that its
    step needs.
    """
    if lacking(step, record, before):
        return {}
    found = ((name, next((f for f in record.of(kind) if f.told), None)) for name, kind in step.reads.items())
    return {name: figure for name, figure in found if figure is not None}


def verdict(step: RecordStep, record: SpinRecord, before: SpinRecord | None = None) -> Verdict | None:
    """What the rows judge the recording: the worst of those that hold; None where none does."""
    return Verdict.worst(given for _row, given in judging_rows(step, record, before))


def judging_rows(
    step: RecordStep, record: SpinRecord, before: SpinRecord | None = None
) -> Iterator[tuple[HeldRow, Verdict]]:
    """Yield each row that judges the recording with its verdict: watch where it is likely to hold and not sure, as a
    reading's verdict is (``conformity.SURE``).

    One that lacks the spin that its step needs is judged by what is found while a drum turns alone.
    """
    whole = not lacking(step, record, before)
    for one in held(step, record, before) if whole or turns(record) else ():
        given = one.row.verdict
        if given is None or one.chance <= NEUTRAL:
            continue
        if one.chance < SURE:
            given = Verdict.WATCH
        if whole or (given is not Verdict.PASS and not one.row.missing):
            yield one, given


def _chance(row: FigureMeaning, record: SpinRecord, before: SpinRecord | None) -> float | None:
    """How likely a row holds; None where the recording can't tell."""
    if row.grown is not None:
        return _grown(row, record, before)
    figures = record.of(row.figure)
    sure = row.figure in SURE_THERE
    there = [f for f in figures if f.told and (sure or f.there)]
    looked = there or [f for f in figures if f.there is False]
    if not looked or (row.missing and any(f.there is None and not f.told for f in figures)):
        return None  # of what can't be told in part nobody says that it isn't there
    none = math.prod(1.0 - _inside(row, figure) for figure in there)
    return none if row.missing else 1.0 - none


def _grown(row: FigureMeaning, record: SpinRecord, before: SpinRecord | None) -> float | None:
    """How likely a figure is so many times what it was before, and in its row's range; None where they aren't compared,
    or either can't be told.
    """
    now = next((f for f in record.of(row.figure) if f.told), None)
    was = next((f for f in before.of(row.figure) if f.told), None) if before is not None else None
    if (
        row.grown is None
        or before is None
        or now is None
        or was is None
        or comparison(before, record).refused
    ):
        return None
    known = math.hypot(_known(now), row.grown * _known(was))
    over = conformity.bands(now.value - row.grown * was.value, known, [0.0], [False])
    return float(over[1]) * _inside(row, now)


def _known(figure: KeptFigure) -> float:
    """What is known of a figure: what may be off to one side widens it."""
    return math.hypot(figure.uncertainty, figure.bias / math.sqrt(3))


def _inside(row: FigureMeaning, figure: KeptFigure) -> float:
    """How likely the true value lies in the row's range: what may be off to one side widens it."""
    edges = [edge for edge in (row.low, row.high) if edge is not None]
    if not edges:
        return 1.0
    chances = conformity.bands(figure.value, _known(figure), edges, [False] * len(edges))
    return float(chances[0] if row.low is None else chances[1])


def sentences(step: RecordStep, record: SpinRecord) -> Iterator[tuple[FigureKind, str]]:
    """Yield the sentences of the figures that some row of the step goes by, each once."""
    wanted = {row.figure for row in step.figures} | set(step.reads.values())
    said: set[str] = set()
    for figure in record.figures:
        if figure.figure in wanted and (figure.told or figure.there is not None) and figure.says not in said:
            said.add(figure.says)
            yield figure.figure, figure.says
