"""Events in words: one line for the reviewer on what an event was, and what a person typed for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wizard.engine import events as ev
from wizard.engine.recordings import from_table
from wizard.engine.state import State
from wizard.flow.model import Flow, Inspection
from wizard.review import parts, words


def typed(event: ev.Event) -> str:
    """What a person typed for this event, as it was typed; empty where a key was enough."""
    for name in ("typed", "words", "text", "name", "caption"):
        value = getattr(event, name, "")
        if value and not isinstance(event, ev.HandedOver):
            return str(value)
    return str(getattr(event, "reason", "") or (event.value if isinstance(event, ev.FactTaken) else ""))


def said(flow: Flow, before: State, event: ev.Event) -> str:
    """One line on an event; ``before`` is the state it met."""
    return _SAYS[type(event)](flow, before, event)


def where(before: State, event: ev.Event) -> tuple[str, str]:
    """The inspection and the step that an event is about; empty where it is about none."""
    if isinstance(event, ev.Entered | ev.Skipped):
        name = event.inspection.removeprefix("recheck:")
        return name.partition(".")[0], event.step if isinstance(event, ev.Entered) else ""
    run = before.find_run(getattr(event, "run", 0))
    return (run.inspection, str(getattr(event, "step", ""))) if run else ("", "")


def title(flow: Flow, inspection: str) -> str:
    """An inspection's title, or its id where this flow has none of that id."""
    known = flow.inspections.get(inspection)
    return known.title if known else inspection


def _because(reason: str) -> str:
    return f" Reason: {words.sentence(reason)}" if reason else ""


def _fact(flow: Flow, _before: State, event: ev.FactTaken) -> str:
    fact = flow.fact(event.fact)
    ask = fact.ask if fact else event.fact
    if event.forgotten:
        return f"No longer asked: {ask}{_because(event.reason)}"
    if not event.value:
        return f"{ask if ask.endswith('?') else f'{ask}:'} left empty.{_because(event.reason)}"
    said = words.sentence(words.fact_words(flow, event.fact, event.value))
    return f"{ask if ask.endswith('?') else f'{ask}:'} {said}{_because(event.reason)}"


def _entered(flow: Flow, before: State, event: ev.Entered) -> str:
    again = "taken up again" if event.run <= len(before.runs) else "begun"
    after = ", after the repair" if event.phase == "after" else ""
    return f"{title(flow, event.inspection)} {again}{after}."


def _reading(_flow: Flow, _before: State, event: ev.ReadingTaken) -> str:
    bare = event.unit == "1" or any(c.isalpha() or c in "\"'%°" for c in event.typed)
    unit = "" if bare else f" {event.unit}"
    place = f"{event.place}: " if event.place else ""
    number = f", no. {event.repeat + 1}" if event.repeat else ""
    tool = f" with {event.tool}" if event.tool else ""
    return f"Read {place}{event.typed}{unit}{number}{tool}.{_because(event.reason)}"


def _recording(_flow: Flow, _before: State, event: ev.RecordingTaken) -> str:
    found = from_table(event.found)
    lasts = f"{found.last - found.first:.1f} s of {found.column}"
    return f"Recording {event.name} ({event.file}): {lasts}, {words.DAMPINGS[found.damping]}, {found.frequency:.2f} Hz."


def _answered(flow: Flow, before: State, event: ev.Answered) -> str:
    if event.how != "answer":
        return f"{words.HOWS.get(event.how, event.how).capitalize()}.{_because(event.reason)}"
    run = before.find_run(event.run)
    inspection = flow.inspections.get(run.inspection) if run else None
    says = event.says or _answer_words(inspection, event)
    verdict = f" [{event.verdict}]" if event.verdict else ""
    lead = "Corrected: " if event.instead_of else ""
    return f"{lead}{words.sentence(says)}{verdict}{_because(event.reason)}"


def _answer_words(inspection: Inspection | None, event: ev.Answered) -> str:
    step = inspection.step(event.step) if inspection else None
    answer = step.answer(event.answer) if step else None
    return (answer.says if answer else "") or event.answer


def _undone(_flow: Flow, _before: State, event: ev.Undone) -> str:
    return f"Taken back: event {event.seq}."


def _left(flow: Flow, before: State, event: ev.Left) -> str:
    run = before.find_run(event.run)
    ends = {"done": "done", "left": "left, its place kept", "void": "no longer counts"}
    return f"{title(flow, run.inspection) if run else 'Run'} {ends.get(event.how, event.how)}."


def _safety(_flow: Flow, _before: State, event: ev.SafetyChanged) -> str:
    was, now = (words.SAFETY.get(s, s) for s in (event.was, event.state))
    return f"{was.capitalize()} to {now}: {words.WHYS.get(event.why, event.why)}."


def _skipped(flow: Flow, _before: State, event: ev.Skipped) -> str:
    name = event.inspection.removeprefix("recheck:")
    again = "Measuring again: " if event.inspection.startswith("recheck:") else ""
    how = words.HOWS.get(event.how, event.how)
    return f"{again}{title(flow, name.partition('.')[0])} {how}.{_because(event.reason)}"


def _decided(flow: Flow, _before: State, event: ev.Decided) -> str:
    faults = [flow.faults[f].says if f in flow.faults else f for f in event.faults]
    return f"Confirmed: {', '.join(faults) or 'no fault'}.{_because(event.reason)}"


def _repaired(flow: Flow, before: State, event: ev.Repaired) -> str:
    fault = flow.faults.get(event.fault)
    what = fault.remedy.says if fault else event.fault
    fitted = ", ".join(parts.read(code, fault, before.facts).words for code in event.parts)
    return f"{what}: {event.outcome}.{f' Parts: {fitted}.' if fitted else ''}{_because(event.reason)}"


def _stopped(flow: Flow, _before: State, event: ev.Stopped) -> str:
    stop = flow.stops.get(event.stop)
    says = words.sentence(stop.says if stop else event.stop)
    return f"Work stopped: {words.also(says, event.words)}"


def _made_safe(flow: Flow, before: State, event: ev.MadeSafe) -> str:
    stop = flow.stops.get(before.halt.stop) if before.halt else None
    lines = stop.make_safe if stop else ()
    line = lines[event.line] if event.line in range(len(lines)) else f"line {event.line}"
    lead = "Could not be made safe: " if event.reason else "Made safe: "
    return f"{lead}{words.sentence(line)}{_because(event.reason)}"


def _closed(_flow: Flow, _before: State, event: ev.Closed) -> str:
    return f"Visit closed: {words.OUTCOMES.get(event.outcome, event.outcome)}."


_SAYS: Mapping[type[ev.Event], Callable[[Flow, State, Any], str]] = {
    ev.Began: lambda f, s, e: f"Session {e.session} began on flow {e.flow} {e.version}, program {e.program}.",
    ev.VisitBegan: lambda f, s, e: words.sentence(
        f"Visit {e.number} began: {e.technician or 'nobody named'}"
    ),
    ev.FactTaken: _fact,
    ev.ComplaintTaken: lambda f, s, e: f"Complaint: {words.sentence(e.words)}",
    ev.SheetUsed: lambda f, s, e: f"Service sheet for {e.model or 'this model'}: {words.sentence(e.source)}",
    ev.Entered: _entered,
    ev.ReadingTaken: _reading,
    ev.RecordingTaken: _recording,
    ev.Answered: _answered,
    ev.Undone: _undone,
    ev.Left: _left,
    ev.SafetyChanged: _safety,
    ev.Skipped: _skipped,
    ev.NoteTaken: lambda f, s, e: f"Note: {words.sentence(e.text)}",
    ev.PhotoTaken: lambda f, s, e: f"Photo {e.name}. {words.sentence(e.caption)}".strip(),
    ev.PersonNamed: lambda f, s, e: f"Second person: {words.sentence(e.name or 'nobody from here on')}",
    ev.DraftKept: lambda f, s, e: f"Kept as a draft: {words.sentence(e.text)}",
    ev.Decided: _decided,
    ev.Repaired: _repaired,
    ev.Stopped: _stopped,
    ev.MadeSafe: _made_safe,
    ev.HandedOver: lambda f, s, e: f"Handover written: {e.name}.",
    ev.Closed: _closed,
}
