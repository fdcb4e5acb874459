"""Jobs at one machine side by side, topic by topic, and what changed from each to the next, in sentences."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from wizard.archive.machine_plate import day_number
from wizard.archive.visits.machine_visit import MachineVisit, VisitReading
from wizard.domain.counting import plural
from wizard.measure.quantities import units

CLEAR = 2.0
"""A reading changed where the difference is more than so many standard uncertainties of it."""


@dataclass(frozen=True, slots=True)
class VisitTopic:
    """One thing of every job: a text each, in their order."""

    says: str
    cells: tuple[str, ...]


def topics(visits: Sequence[MachineVisit]) -> tuple[VisitTopic, ...]:
    """What is held side by side. Of readings those that were read in two jobs, and those that did not pass."""
    plain = (
        ("By", [one.who for one in visits]),
        ("Flow", [one.flow for one in visits]),
        ("Complaint", [one.complaint for one in visits]),
        ("Found", [_list(one.findings.values()) for one in visits]),
        ("Confirmed", [_list(one.faults.values()) for one in visits]),
        ("Repaired", [_list(one.repairs) for one in visits]),
        ("Proved", [one.trouble or one.ended for one in visits]),
        ("Notes", [_list(one.notes) for one in visits]),
    )
    rows = [VisitTopic(says, tuple(cell or "-" for cell in cells)) for says, cells in plain]
    return (*rows[:4], *_readings(visits), *rows[4:])


def _readings(visits: Sequence[MachineVisit]) -> Iterator[VisitTopic]:
    for key in dict.fromkeys(key for one in visits for key in one.readings):
        held = [one.readings[key] for one in visits if key in one.readings]
        if len(held) > 1 or held[0].failed:
            yield VisitTopic(held[-1].name, tuple(_read(one.readings.get(key)) for one in visits))


def _read(reading: VisitReading | None) -> str:
    """'18.0 N, fail; then 60.0 N, pass'."""
    if reading is None:
        return "-"
    texts = [reading.text(one) for one in (reading.found, reading.left) if one is not None]
    return "; then ".join(texts) or "-"


def _list(texts: Iterable[str]) -> str:
    return "; ".join(dict.fromkeys(filter(None, texts)))


def changes(before: MachineVisit, after: MachineVisit) -> tuple[str, ...]:
    """What changed from one job to the next, the most telling first."""
    return tuple(_changes(before, after))


def _changes(before: MachineVisit, after: MachineVisit) -> Iterator[str]:
    first, last = day_number(before.ended_on), day_number(after.day)
    if first and last:
        days = max(0, last - first)
        yield f"{plural(days, 'day')} after the last event of the job before."
    for one in (before, after):
        if one.trouble:
            yield f"{one.session} can't be read whole: {one.trouble}"
    again = [words for fault, words in after.faults.items() if fault in before.faults]
    if again:
        yield f"The same fault again: {_list(again)}."
    parts = [words for part, words in after.parts.items() if part in before.parts]
    if parts:
        yield f"The same part again: {_list(parts)}."
    yield from _found_again("Found then and now", before.findings, after.findings, True)
    yield from _found_again("Found now; then not found, or not asked", before.findings, after.findings, False)
    yield from _found_again("Found then; now not found, or not asked", after.findings, before.findings, False)
    for key, reading in after.readings.items():
        if key in before.readings:
            yield from _moved(before.readings[key], reading)
    if before.model and after.model and before.model != after.model:
        yield f"The plate was read otherwise: model {before.model}, then {after.model}."
    if before.flow != after.flow:
        yield f"Asked by another flow, or version of it: {before.flow}, then {after.flow}."


def _found_again(says: str, others: Mapping[str, str], these: Mapping[str, str], both: bool) -> Iterator[str]:
    if words := [text for finding, text in these.items() if (finding in others) is both]:
        yield f"{says}: {_list(words)}."


def _moved(before: VisitReading, after: VisitReading) -> Iterator[str]:
    """A reading that is another one than the machine was left with, by more than is uncertain in the two."""
    left, found = before.last, after.found or after.left
    if left is None or found is None or before.unit != after.unit:
        return
    by, doubt = found.mean - left.mean, math.hypot(left.uncertainty, found.uncertainty)
    if abs(by) > CLEAR * doubt and by:
        step = units.text(abs(by), after.unit, doubt) if after.unit else f"{abs(by):.4g}"
        yield (
            f"{after.name}: left at {before.text(left)}, found at {after.text(found)}: "
            f"{'more' if by > 0 else 'less'} by {step}."
        )
