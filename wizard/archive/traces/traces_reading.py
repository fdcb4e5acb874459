"""What a loaded session leaves that can be met again: read from its events and its state."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from hashlib import blake2b

from wizard.archive.traces.session_traces import KeptFile, ReadingRow, SessionTraces, WorkStretch
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages import events as ev
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import Flow, MeasureStep
from wizard.journal.session_name import is_session
from wizard.review.flags.reading_flags import grain_of, tool_of
from wizard.sessions.session_handle import Loaded, began_of

PAUSE = 300.0
"""Seconds without an event up to which somebody is taken to be at work still, when two sessions are compared."""

LEAST = 3
"""So many readings make a row that can be compared: two are often the same."""


def traces_of(loaded: Loaded) -> SessionTraces:
    """All that a session leaves."""
    earlier = began_of(loaded.name, loaded.records).earlier
    return SessionTraces(
        tuple(dict.fromkeys(_files(loaded))),
        tuple(_rows(loaded)),
        tuple(_stretches(loaded)),
        earlier.session if is_session(earlier.session) else "",
        earlier.seal[:64],
    )


def _files(loaded: Loaded) -> Iterator[KeptFile]:
    for record in loaded.records:
        event = record.event
        if isinstance(event, ev.PhotoTaken | ev.RecordingTaken | ev.SpinRecorded) and event.sha256:
            yield KeptFile(event.sha256[:64], isinstance(event, ev.PhotoTaken))


def _rows(loaded: Loaded) -> Iterator[ReadingRow]:
    """The rows that count in the end, of steps that judge the machine: not those that make it safe, nor one that is all
    zero, as every dead circuit and machine at rest is.
    """
    view = loaded.view
    for given in view.state.answer_records:
        inspection = view.flow.inspections.get(given.inspection)
        step = inspection.step(given.step) if inspection else None
        if inspection is None or inspection.procedure or not isinstance(step, MeasureStep):
            continue
        if given.aside or given.how is not AnswerHow.ANSWER:
            continue
        taken = view.state.readings(given.run, given.step)
        if len(taken) >= LEAST and any(t.value for t in taken) and not any(t.recording for t in taken):
            grain, noise = _shown(loaded.flow, step, taken)
            values = " ".join(f"{t.value:.10g}" for t in taken)
            yield ReadingRow(
                str(given.ref),
                values,
                mark_of(str(given.ref), values),
                len(taken),
                grain,
                noise,
                step.reading.unit,
            )


def mark_of(step: str, values: str) -> str:
    """The digest of a step with its readings: short, however many these are."""
    return blake2b(f"{step} {values}".encode("utf-8", "replace"), digest_size=12).hexdigest()


def _shown(flow: Flow, step: MeasureStep, taken: tuple[ReadingRecord, ...]) -> tuple[float, float]:
    """What the last figure is worth: the tool's resolution, or that of the finest figure written where this is
    coarser; and the tool's uncertainty.
    """
    tool = tool_of(flow, step, taken[0])
    if tool is None:
        return 0.0, 0.0
    written = [grain for t in taken if (grain := grain_of(t, tool)) is not None]
    return max(tool.resolution, min(written, default=0.0)), tool.uncertainty


def _stretches(loaded: Loaded) -> Iterator[WorkStretch]:
    """Events of one person with no longer pause between them; one whose time can't be read ends a stretch."""
    person, begin, end = "", 0.0, 0.0
    for record in loaded.records:
        at = _moment(record.at)
        who = _person(record.event, person)
        if who != person or at is None or not 0.0 <= at - end <= PAUSE:
            if person and end > begin:
                yield WorkStretch(person, round(begin), round(end))
            person, begin = who, at or 0.0
        end = at or 0.0
    if person and end > begin:
        yield WorkStretch(person, round(begin), round(end))


def _person(event: ev.Event, before: str) -> str:
    """Who is at work from this event on."""
    if isinstance(event, ev.VisitBegan):
        return " ".join(event.technician.split())
    return " ".join(event.name.split()) if isinstance(event, ev.TakenOver) else before


def _moment(at: str) -> float | None:
    try:
        found = datetime.fromisoformat(at)
        return found.timestamp() if found.tzinfo is not None else None
    except (ValueError, OverflowError, OSError):
        return None
