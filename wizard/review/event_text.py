"""Events in words: one line for the reviewer on what an event was, and what a person typed for it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from wizard.documents.content import part_counts
from wizard.documents.papers.job_header import result_words
from wizard.documents.text import formatting, outcome_text, safety_text
from wizard.domain.chosen_answers import only
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, Phase, RunStatus
from wizard.engine.messages import events as ev
from wizard.engine.queries import inspection_queries, proof_queries
from wizard.engine.state import condition_words
from wizard.engine.state.job_state import State, changed
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, Inspection
from wizard.measure.quantities import written_units
from wizard.review.durations import clock


def typed(event: ev.Event) -> str:
    """What a person typed for this event, as it was typed; empty where a key was enough."""
    reason = event.reason if isinstance(event, ev.Reasoned) else ""
    return _words(event) or reason or (event.value if isinstance(event, ev.FactTaken) else "")


def _words(event: ev.Event) -> str:
    """What was typed for itself, not as a reason."""
    match event:
        case ev.ReadingTaken():
            return event.typed
        case ev.ComplaintTaken() | ev.Stopped():
            return event.words
        case ev.Released():
            return event.words or event.name
        case ev.NoteTaken() | ev.DraftKept():
            return event.text
        case ev.RecordingTaken() | ev.SpinRecorded() | ev.TakenOver():
            return event.name
        case ev.PhotoTaken():
            return event.name or event.caption
        case _:
            return ""


def event_words(view: JobView, event: ev.Event) -> str:
    """One line on an event; ``view`` is the job as it met it."""
    return _SAYS[type(event)](view, event)


def believed(flow: Flow, event: ev.Event) -> tuple[str, ...]:
    """What is believed of the machine from this event on, a line a condition that it changes."""
    sets = event.belief if isinstance(event, ev.Believing) else {}
    return tuple(_belief_words(flow, name, values) for name, values in sets.items())


def _belief_words(flow: Flow, name: str, values: frozenset[str]) -> str:
    condition = flow.conditions.get(name)
    if condition is None:
        return f"{name}: {' or '.join(sorted(values))}"
    return f"{condition.says}: {condition_words.words_of(condition, values) or 'nothing'}"


def asked(record: ev.Recorded) -> str:
    """What was asked, where this event is the first that came of it: the command, how long after the last key.

    Empty for a later event of the same transaction.
    """
    if record.asked is None:
        return ""
    at = record.asked
    seconds = (("the last key", at.idle), ("the program last ran", at.gap))
    after = [f"{clock(since)} after {what}" for what, since in seconds if since]
    back = ["a clock had gone back"] if at.backwards else []
    return formatting.sentence(", ".join((at.command.kind.replace("-", " "), *after, *back)))


def where(before: State, event: ev.Event) -> Target | None:
    """The inspection, or the step, that an event is about; None where it is about none."""
    if isinstance(event, ev.Entered | ev.Skipped):
        return Target(event.inspection, event.step)
    run = before.find_run(event.run) if isinstance(event, ev.OfRun) else None
    step = event.step if isinstance(event, ev.OfStep) else ""
    return Target(run.inspection, step) if run else None


def _because(reason: str) -> str:
    return f" Reason: {formatting.sentence(reason)}" if reason else ""


def _fact(view: JobView, event: ev.FactTaken) -> str:
    fact = view.flow.fact(event.fact)
    ask = fact.ask if fact else event.fact
    if event.undone:
        return f"Taken back, and asked anew: {ask}"
    if event.forgotten:
        return f"No longer asked: {ask}{_because(event.reason)}"
    if not event.value:
        return f"{ask if ask.endswith('?') else f'{ask}:'} left empty.{_because(event.reason)}"
    words = formatting.sentence(formatting.fact_words(view.flow, event.fact, event.value))
    return f"{ask if ask.endswith('?') else f'{ask}:'} {words}{_because(event.reason)}"


def _entered(view: JobView, event: ev.Entered) -> str:
    if event.condition:
        condition = view.flow.conditions.get(event.condition)
        return f"{view.flow.title_of(event.inspection)}, asked for: {condition.says if condition else event.condition}."
    again = "resumed" if view.state.find_run(event.run) is not None else "begun"
    repaired = inspection_queries.after_repair(view, view.state.seq + 1)
    after = ", after the repair" if repaired and event.phase is Phase.AFTER else ""
    return f"{view.flow.title_of(event.inspection)} {again}{after}."


def _reading(_view: JobView, event: ev.ReadingTaken) -> str:
    place = f"{event.place}: " if event.place else ""
    number = f", no. {event.repeat + 1}" if event.repeat else ""
    tool = f" with {event.tool}" if event.tool else ""
    return f"Read {place}{written_units.typed_text(event.typed, event.unit)}{number}{tool}.{_because(event.reason)}"


def _recording(_view: JobView, event: ev.RecordingTaken) -> str:
    found = event.found
    lasts = f"{found.last - found.first:.1f} s of {found.column}"
    damping = outcome_text.DAMPINGS[found.damping]
    return f"Recording {event.name} ({event.file}): {lasts}, {damping}, {found.frequency:.2f} Hz."


def _spin(_view: JobView, event: ev.SpinRecorded) -> str:
    found = event.spin
    kept = f"{event.name} ({event.file})" if event.name else f"{event.file}, not kept here"
    return f"Recorded spin {kept}: {found.seconds:.0f} s of {found.signal}, {len(found.figures)} figures."


def _answered(view: JobView, event: ev.Answered) -> str:
    if event.how is not AnswerHow.ANSWER:
        return f"{outcome_text.HOWS.get(event.how, event.how).capitalize()}.{_because(event.reason)}"
    run = view.state.find_run(event.run)
    inspection = view.flow.inspections.get(run.inspection) if run else None
    says = event.says or _answer_words(inspection, event)
    verdict = f" [{event.verdict}]" if event.verdict else ""
    lead = "Corrected: " if event.instead_of else ""
    against = [view.flow.conditions[c].says for c in event.contradicts if c in view.flow.conditions]
    other = f" Against what was known: {', '.join(against)}." if against else ""
    source = " From the recording." if event.recording else ""
    return f"{lead}{formatting.sentence(says)}{verdict}{source}{_because(event.reason)}{other}"


def _answer_words(inspection: Inspection | None, event: ev.Answered) -> str:
    step = inspection.step(event.step) if inspection else None
    answer = step.answer(only(event.chosen)) if step else None
    return (answer.says if answer else "") or event.text


def _undone(_view: JobView, event: ev.Undone | ev.NoteUndone) -> str:
    return f"Taken back: event {event.seq}."


def _left(view: JobView, event: ev.InspectionLeft) -> str:
    run = view.state.find_run(event.run)
    ends = {
        RunStatus.DONE: "done",
        RunStatus.LEFT: "left, its place kept",
        RunStatus.VOID: "no longer counts",
    }
    return f"{view.flow.title_of(run.inspection) if run else 'Run'} {ends.get(event.how, event.how)}."


def _condition(flow: Flow, name: str) -> str:
    """A condition's words; its id where the flow doesn't have it."""
    return flow.conditions[name].says if name in flow.conditions else name


def _remedy(flow: Flow, fault: str) -> str:
    """The words of a fault's remedy; the fault's id where the flow doesn't have it."""
    return flow.faults[fault].remedy.says if fault in flow.faults else fault


def _shown(view: JobView, event: ev.Shown) -> str:
    run = view.state.find_run(event.run)
    what = view.flow.title_of(run.inspection) if run else _remedy(view.flow, event.step)
    place = f", {event.step}," if run else ""
    return f"{what}{place} may be done: what it needs holds."


def _widened(view: JobView, event: ev.Widened) -> str:
    nouns = [_condition(view.flow, c) for c in event.belief]
    return f"Less is known, {safety_text.WIDENINGS[event.why]}: {', '.join(nouns) or 'nothing'}."


def _released(view: JobView, event: ev.Released) -> str:
    return f"Released: {_condition(view.flow, event.condition)}, by {event.name}. {formatting.sentence(event.words)}"


def _headed(view: JobView, event: ev.Headed) -> str:
    what = _remedy(view.flow, event.fault or view.state.goal)
    return (
        f"Getting ready to repair: {what}." if event.fault else f"No longer getting ready to repair: {what}."
    )


def _skipped(view: JobView, event: ev.Skipped) -> str:
    again = "Measuring again: " if event.recheck else ""
    how = outcome_text.HOWS.get(event.how, event.how)
    return f"{again}{view.flow.title_of(event.inspection)} {how}.{_because(event.reason)}"


def _decided(view: JobView, event: ev.Decided) -> str:
    faults = [view.flow.faults[f].says if f in view.flow.faults else f for f in event.faults]
    again = [view.flow.faults[f].says for f in event.again if f in view.flow.faults]
    once_more = f" It did not hold, and is repaired once more: {', '.join(again)}." if again else ""
    after = proof_queries.failed_proof(view) and not proof_queries.none_decided(view)
    if after and not again and set(event.faults) <= set(view.state.decided or ()):
        stays = f" It stays decided: {', '.join(faults)}." if faults else ""
        return f"Confirmed after the failed proof: nothing else.{stays}{_because(event.reason)}"
    return f"Confirmed: {', '.join(faults) or 'no fault'}.{once_more}{_because(event.reason)}"


def _repaired(view: JobView, event: ev.RepairDone) -> str:
    fitted = ", ".join(
        part.words for part in part_counts.named(event.parts, view.flow.faults.get(event.fault))
    )
    parts = f" Parts: {fitted}." if fitted else ""
    word = outcome_text.repair_word(view.flow, event.fault, event.outcome, event.alternative)
    return f"{_done(view.flow, event)}: {word}.{parts}{_because(event.reason)}"


def _done(flow: Flow, event: ev.RepairDone) -> str:
    """The alternative that was done, where the remedy has any; else the remedy."""
    fault = flow.faults.get(event.fault)
    ways = {a.id: a.says for a in fault.remedy.alternatives} if fault else {}
    return ways.get(event.alternative) or _remedy(flow, event.fault)


def _stop(view: JobView, name: str) -> str:
    """What a stop says; its id where the flow has none of it."""
    stop = view.flow.stops.get(name)
    return formatting.sentence(stop.says if stop else name)


def _stopped(view: JobView, event: ev.Stopped) -> str:
    return f"Work stopped: {formatting.also(_stop(view, event.stop), event.words)}"


def _taken_back(view: JobView, event: ev.StopWithdrawn) -> str:
    return f"Stop taken back as a slip: {_stop(view, event.stop)}{_because(event.reason)}"


def _cleared(view: JobView, event: ev.StopCleared) -> str:
    return f"Stop over: {_stop(view, event.stop)} Asked anew and found well, by {event.name}."


def _made_safe(view: JobView, event: ev.MadeSafe) -> str:
    stop = view.flow.stops.get(event.stop)
    lines = stop.make_safe if stop else ()
    line = lines[event.line] if event.line in range(len(lines)) else f"line {event.line}"
    lead = "Could not be made safe: " if event.reason else "Made safe: "
    return f"{lead}{formatting.sentence(line)}{_because(event.reason)}"


def _began(_view: JobView, event: ev.Began) -> str:
    words = f"Session {event.session} began on flow {event.flow} {event.version}, program {event.program}."
    if event.earlier.first:
        return f"{words} None was begun before it on that computer, as far as its home knew."
    before = event.earlier.session
    return f"{words} Begun before it on that computer: {before}." if before else words


def _closed(view: JobView, event: ev.Closed) -> str:
    return f"Visit closed: {result_words(view.at(changed(view.state, outcome=event.outcome)))}."


_SAYS: Mapping[type[ev.Event], Callable[[JobView, Any], str]] = {
    ev.Began: _began,
    ev.VisitBegan: lambda v, e: (
        formatting.sentence(f"Visit {e.number} began: {e.technician or 'nobody named'}") + _because(e.reason)
    ),
    ev.FactTaken: _fact,
    ev.ComplaintTaken: lambda v, e: f"Complaint: {formatting.sentence(e.words)}",
    ev.SheetUsed: lambda v, e: (
        f"Service sheet for {e.model or 'this model'}: {formatting.sentence(e.source)}"
    ),
    ev.Entered: _entered,
    ev.ReadingTaken: _reading,
    ev.RecordingTaken: _recording,
    ev.SpinRecorded: _spin,
    ev.Answered: _answered,
    ev.Undone: _undone,
    ev.InspectionLeft: _left,
    ev.Shown: _shown,
    ev.Widened: _widened,
    ev.Paused: lambda v, e: "A break.",
    ev.TakenOver: lambda v, e: f"{e.name} goes on.",
    ev.Released: _released,
    ev.Headed: _headed,
    ev.Skipped: _skipped,
    ev.NoteTaken: lambda v, e: f"Note: {formatting.sentence(e.text)}",
    ev.PhotoTaken: lambda v, e: f"Photo {e.name}. {formatting.sentence(e.caption)}".strip(),
    ev.NoteUndone: _undone,
    ev.DraftKept: lambda v, e: f"Kept as a draft: {formatting.sentence(e.text)}",
    ev.Decided: _decided,
    ev.RepairDone: _repaired,
    ev.Stopped: _stopped,
    ev.StopWithdrawn: _taken_back,
    ev.StopCleared: _cleared,
    ev.MadeSafe: _made_safe,
    ev.HandedOver: lambda v, e: f"Handover written: {e.name}.",
    ev.Closed: _closed,
}
