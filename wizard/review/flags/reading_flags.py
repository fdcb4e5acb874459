"""Flags on readings: left out, all the same, exactly on a limit, finer than the tool."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from wizard.documents.text import formatting, limit_text
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.measuring import judging
from wizard.engine.messages.events import Answered
from wizard.engine.state.job_state import ReadingRecord
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, MeasureStep, Tool
from wizard.measure.quantities import numerals, units
from wizard.measure.uncertainty.alike_readings import agreeing
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId

_FRACTION = re.compile(r"\d+\s*/\s*(\d+)")
_DECIMALS = re.compile(r"[.,](\d+)(?:[eE]([+-]?\d+))?")


@dataclass(frozen=True, slots=True)
class _Judging:
    """A measure step that was answered, with the readings that it was answered on."""

    seq: int
    where: Target
    step: MeasureStep
    event: Answered
    view: JobView
    readings: tuple[ReadingRecord, ...]


def _judgings(look: FlagContext) -> Iterator[_Judging]:
    """Every answer of a measure step that was not a correction, as it stood then."""
    for place, record in enumerate(look.replay.records, 1):
        event = record.event
        if not isinstance(event, Answered) or event.instead_of:
            continue
        view = look.replay.view(place - 1)
        run = view.state.find_run(event.run)
        inspection = view.flow.inspections.get(run.inspection) if run else None
        step = inspection.step(event.step) if inspection else None
        if run is not None and isinstance(step, MeasureStep):
            taken = view.state.readings(run.id, step.id)
            yield _Judging(record.seq, Target(run.inspection, step.id), step, event, view, taken)


def readings_missing(look: FlagContext) -> Iterator[Flag]:
    """A measure step answered with numbers left out, or not measured at all. What is not fitted has none."""
    for one in _judgings(look):
        if one.event.how is AnswerHow.NOT_FITTED:
            continue
        wanted = len(judging.slots(one.step.reading, one.view.state.facts))
        missing = wanted if one.event.how is not AnswerHow.ANSWER else _missing(one)
        if missing:
            reason = formatting.sentence(one.event.reason) if one.event.reason else "None was written."
            yield look.flag(
                FlagId.READINGS_MISSING,
                "Readings were left out.",
                f"{missing} of {wanted} were not taken. Reason: {reason}",
                one.seq,
                one.where,
            )


def _missing(one: _Judging) -> int:
    return len(judging.missing(one.step.reading, one.view.state.facts, one.readings))


def readings_same(look: FlagContext) -> Iterator[Flag]:
    """All readings of a step the same, though the tool would show a difference. Zero is what a dead circuit or a still
    machine reads, so it is left alone; so are few readings of a tool whose steps are coarse beside its uncertainty.
    """
    least = look.number(FlagId.READINGS_SAME, "least")
    for one in _judgings(look):
        values = {t.value for t in one.readings}
        if len(one.readings) >= least and len(values) == 1 and values != {0.0}:
            chance, shows = _same_chance(look, one)
            if chance > look.number(FlagId.READINGS_SAME, "chance"):
                continue
            evidence = f"{len(one.readings)} readings, each {_figure(one.readings[0], one.step)}.{shows}"
            says, seq = "Every reading is the same.", one.readings[-1].seq
            yield look.flag(FlagId.READINGS_SAME, says, evidence, seq, one.where, float(len(one.readings)))


def _same_chance(look: FlagContext, one: _Judging) -> tuple[float, str]:
    """How often the tool would show so many readings of one size all the same, in words too; 0 if not known."""
    taken = one.readings[0]
    tool = tool_of(look.replay.flow, one.step, taken)
    if tool is None or tool.resolution <= 0.0 or tool.uncertainty <= 0.0:
        return 0.0, ""
    grain = max(tool.resolution, grain_of(taken, tool) or 0.0)
    chance = agreeing(tool.uncertainty, grain) ** (len(one.readings) - 1)
    shows = f" {tool.says} shows steps of {units.text(tool.resolution, tool.unit)}: of one size it would show so many "
    return (
        chance,
        f"{shows}the same {f'{100 * chance:.0f} times in 100' if chance >= 0.01 else 'less than once in 100 times'}.",
    )


def reading_on_limit(look: FlagContext) -> Iterator[Flag]:
    """Readings exactly on an edge of the limit that judged them."""
    for one in _judgings(look):
        limit = judging.limit_of(one.view, one.step)
        edges = [b.top for b in limit.bands if b.top is not None] if limit else []
        on = [
            t
            for t in one.readings
            if any(math.isclose(t.value, e, rel_tol=1e-9, abs_tol=1e-12) for e in edges)
        ]
        if on and limit:
            read = ", ".join(f"{t.place}: {_figure(t, one.step)}".removeprefix(": ") for t in on)
            yield look.flag(
                FlagId.READING_ON_LIMIT,
                "A reading lies exactly on the limit.",
                f"{read}. The limit: {limit_text.bands(limit)}.",
                on[0].seq,
                one.where,
            )


def reading_finer(look: FlagContext) -> Iterator[Flag]:
    """Readings written finer than the tool named for them can show."""
    share = look.number(FlagId.READING_FINER, "share")
    for one in _judgings(look):
        finer = []
        for t in one.readings:
            tool = tool_of(look.replay.flow, one.step, t)
            if tool is not None and _finer(t, tool, share):
                finer.append((t, tool))
        if finer:
            tool = finer[0][1]
            shows = units.text(tool.resolution, tool.unit)
            read = ", ".join(t.typed for t, _tool in finer)
            yield look.flag(
                FlagId.READING_FINER,
                "A reading is written finer than its tool shows.",
                f"Typed: {read}. {tool.says} shows steps of {shows}.",
                finer[0][0].seq,
                one.where,
                min((grain_of(t, of) or 0.0) / of.resolution for t, of in finer),
            )


def tool_of(flow: Flow, step: MeasureStep, taken: ReadingRecord) -> Tool | None:
    """The flow's tool that the reading names, or None where another was used whose resolution nobody knows."""
    usual = flow.tools.get(step.reading.tool)
    if not taken.tool or (usual and taken.tool == usual.says):
        return usual
    return next((t for t in flow.tools.values() if taken.tool in (t.id, t.says)), None)


def _finer(taken: ReadingRecord, tool: Tool, share: float) -> bool:
    """True when the last figure typed stands for less than the tool shows, and the value lies between its marks."""
    grain = grain_of(taken, tool)
    if grain is None or tool.resolution <= 0.0:
        return False
    marks = taken.value / tool.resolution
    between = abs(marks - round(marks)) > 1e-6 * max(1.0, abs(marks))
    return between and grain < share * tool.resolution * (1 - 1e-9)


def grain_of(taken: ReadingRecord, tool: Tool) -> float | None:
    """What one step of the last figure typed is worth, in SI: 0.1 N of '18.2', 1/8 in of '3/8 in'.

    None where it can't be told: the tool reads something else, or the text is no number (an altered journal).
    """
    typed = numerals.tidy(taken.typed)
    try:
        name = units.read(typed, taken.unit).unit or taken.unit
        if units.dimension(tool.unit) != units.dimension(name):
            return None
    except ValueError:
        return None
    if found := _FRACTION.search(typed):
        return units.span_to_si(1.0 / int(found[1]), name)
    found = _DECIMALS.search(typed)
    return units.span_to_si(10.0 ** (int(found[2] or 0) - len(found[1])) if found else 1.0, name)


def _figure(taken: ReadingRecord, step: MeasureStep) -> str:
    return units.text(taken.value, step.reading.unit)
