"""What was answered on the path and may be corrected: answers and readings that still count, the newest first."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.domain.counting import plural
from wizard.domain.vocabulary import AnswerHow, RunStatus
from wizard.engine.handlers.intake import set_aside_by
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_state import AnswerRecord, ReadingRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow, JudgedStep, MeasureStep, RecordStep, TellStep
from wizard.measure.quantities import written_units


@unique
class CorrectableKind(StrEnum):
    """What may be corrected."""

    ANSWER = "answer"
    READING = "reading"
    FACT = "fact"
    COMPLAINT = "complaint"


@dataclass(frozen=True, slots=True)
class CorrectableEntry:
    """One line. ``key`` is its seq, or the fact's id; ``asked_again``: it
    establishes how the machine stands, which is asked again once it is corrected.
    """

    kind: CorrectableKind
    key: str
    title: str
    asked: str
    sentence: str
    asked_again: bool = False


def entries(view: JobView) -> tuple[CorrectableEntry, ...]:
    """Answers and readings, the newest first, then the machine facts, last the customer's words."""
    rows = [x for x in view.state.entries if not x.aside and _counts(view.state, x)]
    found = [_entry(view.flow, x) for x in sorted(rows, key=lambda x: -x.seq)]
    facts = [_fact(view, f.id) for f in view.flow.facts if f.id in view.state.facts]
    asked = "What does the customer say?"
    words = CorrectableEntry(CorrectableKind.COMPLAINT, "", "Complaint", asked, view.state.complaint)
    return (*(e for e in found if e), *facts, *([words] if view.state.complaint else ()))


FROM_RECORDING = " (from the recording)"
"""Stands behind what a recording answered, or read."""


def _counts(state: State, entry: AnswerRecord | ReadingRecord) -> bool:
    run = state.find_run(entry.run)
    return run is not None and run.how is not RunStatus.VOID


def _entry(flow: Flow, entry: AnswerRecord | ReadingRecord) -> CorrectableEntry | None:
    inspection = flow.inspections.get(entry.inspection)
    step = inspection.step(entry.step) if inspection else None
    if inspection is None or step is None:
        return None
    again = inspection.procedure or inspection.id in flow.procedures
    if isinstance(entry, ReadingRecord):
        place = (
            f"{entry.place}, no. {entry.repeat + 1}"
            if isinstance(step, MeasureStep) and step.reading.repeats > 1
            else entry.place
        )
        typed = written_units.typed_text(entry.typed, entry.unit) + (
            FROM_RECORDING if entry.recording else ""
        )
        return CorrectableEntry(
            CorrectableKind.READING, str(entry.seq), inspection.title, place or step.do, typed, again
        )
    if entry.how is not AnswerHow.ANSWER or isinstance(step, JudgedStep | TellStep | RecordStep):
        return None
    says = f"{entry.says or entry.text}{FROM_RECORDING if entry.recording else ''}"
    return CorrectableEntry(CorrectableKind.ANSWER, str(entry.seq), inspection.title, step.do, says, again)


def _fact(view: JobView, fact_id: str) -> CorrectableEntry:
    asked = view.flow.fact(fact_id)
    value = view.state.facts[fact_id]
    known = asked.value(value) if asked else None
    says = known.says if known else value or "-"
    return CorrectableEntry(CorrectableKind.FACT, fact_id, "Machine", asked.ask if asked else fact_id, says)


def choices(view: JobView, entry: CorrectableEntry) -> tuple[tuple[str, str], ...]:
    """The answers that may stand in its place, (id, words) each; none where it is typed."""
    if entry.kind is CorrectableKind.FACT:
        asked = view.flow.fact(entry.key)
        return tuple((v.id, v.says) for v in asked.values) if asked else ()
    if entry.kind in (CorrectableKind.READING, CorrectableKind.COMPLAINT):
        return ()
    given = next((g for g in view.state.answer_records if str(g.seq) == entry.key), None)
    step = view.flow.inspections[given.inspection].step(given.step) if given else None
    return tuple((a.id, a.says or a.id) for a in step.answers) if step else ()


def present(view: JobView, entry: CorrectableEntry) -> str:
    """The id of what stands there now: of several ticked ones, the first; empty where it is typed."""
    if entry.kind is CorrectableKind.FACT:
        return view.state.facts[entry.key]
    given = next((g for g in view.state.answer_records if str(g.seq) == entry.key), None)
    return given.chosen[0] if given and given.chosen else ""


def aside_words(view: JobView, entry: CorrectableEntry, right: tuple[str, ...]) -> str:
    """How many answers and readings no longer count once a fact is corrected, and of which inspections; empty for what
    is no fact, or stays as it is.
    """
    if entry.kind is not CorrectableKind.FACT or (view.state.facts.get(entry.key),) == right:
        return ""
    (value,) = right
    aside = set_aside_by(view, entry.key, value)
    if not aside:
        return "No answer and no reading is set aside. What safety rests on may be asked anew."
    readings = sum(isinstance(x, ReadingRecord) for x in aside)
    counts = ((len(aside) - readings, "answer"), (readings, "reading"))
    sentence = " and ".join(plural(n, word) for n, word in counts if n)
    titles = dict.fromkeys(view.flow.inspections[x.inspection].title for x in aside)
    return f"Set aside by it, no longer counted: {sentence}, of {'; '.join(titles)}."


def correction(entry: CorrectableEntry, right: tuple[str, ...], reason: str = "") -> cmd.Command:
    """Return the command that puts what is right in the place of an entry's: the answers chosen, or one text of
    anything else. The customer's words need no reason. ValueError for more texts than one where one stands.
    """
    if entry.kind is CorrectableKind.ANSWER:
        return cmd.Correct(int(entry.key), right, reason)
    (value,) = right
    match entry.kind:
        case CorrectableKind.COMPLAINT:
            return cmd.SetComplaint(value)
        case CorrectableKind.FACT:
            return cmd.SetFact(entry.key, value, reason)
        case CorrectableKind.READING:
            return cmd.CorrectReading(int(entry.key), value, reason)
