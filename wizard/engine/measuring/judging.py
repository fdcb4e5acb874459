"""From readings to a verdict: repeats combined, each item against its bands, the worst item the step's verdict."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.domain.vocabulary import FaultSeverity
from wizard.engine.measuring.reading_input import range_words, within
from wizard.engine.messages.repair_parts import counted
from wizard.engine.state.job_state import ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Limit, MeasureStep, Reading, Step, Verdict, bands_of, fits, limit_id, place_fact
from wizard.flow.model.steps import DONE
from wizard.measure.uncertainty import conformity, grading

GRADES = len(FaultSeverity)


@dataclass(frozen=True, slots=True)
class Slot:
    """One number that a measure step asks for; all three count from 0."""

    item: int
    way: int
    repeat: int


@dataclass(frozen=True, slots=True)
class Judged:
    """One item and way of a step: mean and standard uncertainty (SI), what its limit says of it.

    ``chances`` maps a band's id to the probability that the true value lies in it. No limit: no ``verdict``.
    ``says``: a few words on a computed value, such as which side is high. ``doubted``: a number behind it lies
    outside its step's range.
    """

    name: str
    mean: float
    uncertainty: float
    count: int
    verdict: Verdict | None = None
    band: str = ""
    chances: Mapping[str, float] | None = None
    says: str = ""
    doubted: bool = False


@dataclass(frozen=True, slots=True)
class JudgedOutcome:
    """A step judged: every item, the id of its answer (the worst verdict, or ``done`` without a limit), that verdict,
    the evidence for findings.
    """

    items: tuple[Judged, ...]
    answer: str
    verdict: Verdict | None
    evidence: Mapping[str, float]


@dataclass(frozen=True, slots=True)
class GradedItem:
    """The item of a judged step that is furthest off by a curve, and the log of how many times as likely it is with the
    fault as without (nats).
    """

    log_ratio: float
    curve: grading.Curve
    item: Judged


def items(reading: Reading, facts: Mapping[str, str]) -> tuple[str, ...]:
    """The names of what is measured one by one: the places, or as many items as the machine has; one where their number
    is not known.
    """
    if reading.places:
        return reading.places
    if not reading.each:
        return (reading.item,)
    count = counted(facts.get(reading.each, ""))
    return tuple(f"{reading.item} {n}" for n in range(1, (1 if count is None else count) + 1))


def place_count(step: Step, facts: Mapping[str, str]) -> int | None:
    """How many places there are to tick at a step on this machine; None where no fact says it, or not yet."""
    fact = place_fact(step)
    return counted(facts.get(fact, "")) if fact else None


def slots(reading: Reading, facts: Mapping[str, str]) -> tuple[Slot, ...]:
    """Every number the step asks for, in the order they are asked."""
    each, ways = range(len(items(reading, facts))), range(max(1, len(reading.ways)))
    places = [(item, way) for item in each for way in ways]
    if reading.way_by_way:
        places.sort(key=lambda place: place[1])
    return tuple(Slot(item, way, repeat) for item, way in places for repeat in range(reading.repeats))


def slot_name(reading: Reading, facts: Mapping[str, str], slot: Slot) -> str:
    """How people call a slot: 'damper 2, out', 'front left'; the repeat is left to the screen."""
    parts = [items(reading, facts)[slot.item]]
    if reading.ways:
        parts.append(reading.ways[slot.way])
    return ", ".join(p for p in parts if p)


def missing(reading: Reading, facts: Mapping[str, str], taken: Sequence[ReadingRecord]) -> tuple[Slot, ...]:
    """The slots without a reading yet."""
    there = {(t.item, t.way, t.repeat) for t in taken}
    return tuple(s for s in slots(reading, facts) if (s.item, s.way, s.repeat) not in there)


def limit_of(view: JobView, step: Step) -> Limit | None:
    """The limit that judges the step on this machine: the latest service sheet's, else the flow's own."""
    from wizard.engine.measuring.sheet_limits import sheet_limits

    wanted = limit_id(step)
    if not wanted:
        return None
    for limit in reversed(sheet_limits(view.state)):
        if limit.id == wanted and fits(limit.applies, view.state.facts):
            return limit
    return next((li for li in view.flow.limits.get(wanted, ()) if fits(li.applies, view.state.facts)), None)


def usual_of(view: JobView, step: MeasureStep) -> float | None:
    """What this machine gives if it is healthy (SI): by the flow's limit that fits it, else by the step itself."""
    fitting = (li for li in view.flow.limits.get(step.limit, ()) if fits(li.applies, view.state.facts))
    own = next((li.usual for li in fitting), None)
    return step.reading.usual if own is None else own


def against(name: str, mean: float, uncertainty: float, count: int, limit: Limit | None) -> Judged:
    """One value judged by a limit."""
    if limit is None:
        return Judged(name, mean, uncertainty, count)
    edges = [b.top for b in limit.bands if b.top is not None]
    inclusive = [b.inclusive for b in limit.bands if b.top is not None]
    chances = conformity.bands(mean, uncertainty, edges, inclusive)
    words = conformity.verdict(chances, [b.verdict for b in limit.bands])
    by_id = {b.id: p for b, p in zip(limit.bands, chances, strict=True)}
    return Judged(name, mean, uncertainty, count, words.verdict, limit.bands[words.band].id, by_id)


def doubted(judged: Judged, reading: Reading | None = None) -> Judged:
    """A value with a number behind it outside its step's range: the bands were written for the range, so no
    'pass'.
    """
    why = f"outside {range_words(reading, reading.unit)}" if reading else "from a reading outside its range"
    verdict = Verdict.WATCH if judged.verdict is Verdict.PASS else judged.verdict
    says = "; ".join(text for text in (judged.says, why) if text)
    return replace(judged, verdict=verdict, says=says, doubted=True)


def judge_readings(view: JobView, step: MeasureStep, taken: Sequence[ReadingRecord]) -> JudgedOutcome:
    """All readings of a measure step judged together. Items without any reading are left out."""
    reading = step.reading
    limit, tool = limit_of(view, step), view.flow.tools[reading.tool]
    groups: dict[tuple[int, int], list[float]] = {}
    own: dict[tuple[int, int], float] = {}
    for t in taken:
        groups.setdefault((t.item, t.way), []).append(t.value)
        own[t.item, t.way] = max(t.uncertainty, own.get((t.item, t.way), 0.0))
    judged = []
    for (item, way), values in sorted(groups.items()):
        both = conformity.combine(values, tool.resolution, math.hypot(tool.uncertainty, own[item, way]))
        name = slot_name(reading, view.state.facts, Slot(item, way, 0))
        one = against(name, both.mean, both.uncertainty, both.count, limit)
        believed = all(within(reading, value) for value in values)
        judged.append(one if believed else doubted(one, reading))
    return outcome(view, step, judged, limit)


def stops_work(view: JobView, step: MeasureStep, taken: Sequence[ReadingRecord]) -> bool:
    """True where what was read so far stops work: whatever else is read could only be worse."""
    answer = step.answer(judge_readings(view, step, taken).answer) if taken else None
    return answer is not None and bool(answer.stop)


def outcome(view: JobView, step: Step, judged: Sequence[Judged], limit: Limit | None) -> JudgedOutcome:
    """The worst verdict, and for each finding its evidence: where its bands say what is typical, how likely the
    readings are with it against without; else the probability that at least one item lies in its bands.

    With an item that is doubted, nothing is ruled out: 0.5 at least, which says nothing.
    """
    worst = Verdict.worst(j.verdict for j in judged if j.verdict)
    evidence, least = {}, 0.5 if any(j.doubted for j in judged) else 0.0
    for finding, bands in bands_of(step).items():
        curves = graded_curves(limit, bands, view.flow.severity) if limit else ()
        found = _graded(judged, curves) if curves else _banded(judged, bands)
        evidence[finding] = found if least <= found <= 1.0 else min(1.0, max(least, found))
    return JudgedOutcome(tuple(judged), worst.value if worst else DONE, worst, evidence if judged else {})


def graded_curves(
    limit: Limit, bands: Collection[str], severity: Mapping[FaultSeverity, float]
) -> tuple[grading.Curve, ...]:
    """One curve for each of these bands of a limit that says what is typical of it; none where none does."""
    curves = (limit.curve(band, severity) for band in limit.bands if band.id in bands)
    return tuple(curve for curve in curves if curve is not None)


def graded_item(judged: Sequence[Judged], curves: Sequence[grading.Curve]) -> GradedItem | None:
    """The item that speaks for all: of several bands on either side of usual, by the curve that speaks most. None of
    none.
    """
    items = [j for j in judged if j.chances is not None]
    each = [GradedItem(curve.log_ratio(j.mean, j.uncertainty), curve, j) for curve in curves for j in items]
    return max(each, key=lambda one: one.log_ratio, default=None)


def _graded(judged: Sequence[Judged], curves: Sequence[grading.Curve]) -> float:
    """The evidence of all items together, graded: the item that is furthest off speaks for each severity, as for all
    of them.
    """
    off = graded_item(judged, curves)
    if off is None:
        return 0.5
    e = grading.evidence([off.log_ratio])
    if len(off.curve.centres) < GRADES:
        return e
    return GradedEvidence(e, off.curve.by_severity(off.item.mean, off.item.uncertainty))


def _banded(judged: Sequence[Judged], bands: Collection[str]) -> float:
    """The probability that at least one item lies in these bands."""
    return 1.0 - math.prod(1.0 - sum((j.chances or {}).get(b, 0.0) for b in bands) for j in judged)
