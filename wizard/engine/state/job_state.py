"""Where a job stands: what the fold makes of its events. Frozen, compared by value, knows no flow."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.domain.chosen_answers import chosen_text
from wizard.domain.references import StepRef, Target
from wizard.domain.vocabulary import (
    AnswerHow,
    FaultSeverity,
    JobOutcome,
    JobState,
    Phase,
    RepairOutcome,
    RunStatus,
    SkipHow,
    Verdict,
)
from wizard.engine.messages.decay_record import DecayFit
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.messages.used_limit import UsedLimit
from wizard.safety import WideningReason

Thing = TypeVar("Thing")


def changed(thing: Thing, **changes: Any) -> Thing:
    """The dataclass (one without slots) with some fields changed; TypeError where it has no such field.

    As ``dataclasses.replace`` in a tenth of its time, which every fold takes several times: the fields are copied at
    once instead of being set one by one.
    """
    kind = type(thing)
    fields = thing.__dict__ | changes
    if len(fields) != len(thing.__dict__):
        raise TypeError(
            f"{kind.__name__} has no field {' or '.join(changes.keys() - thing.__dict__.keys())}."
        )
    made: Thing = object.__new__(kind)
    object.__setattr__(made, "__dict__", fields)
    return made


@dataclass(frozen=True)
class EntryRecord:
    """What answers and readings have in common: number and time of the event, and the step that it is of."""

    seq: int
    at: str
    visit: int
    run: int
    inspection: str
    step: str
    phase: Phase

    @property
    def ref(self) -> StepRef:
        """The step that it is of."""
        return StepRef(self.inspection, self.step)


@dataclass(frozen=True)
class AnswerRecord(EntryRecord):
    """An answer as it stands. ``aside``: no longer on the path, taken back or corrected; kept, but no evidence.
    ``mistaken``: it was taken back or corrected, so that what it said was never so.

    ``goal``: the fault for whose repair it was asked; empty where it was asked for none.
    ``chosen``: the id of the answer or verdict, of ticked ones all; empty where none was, or the step not done.
    ``recording``: the event of the recorded spin that gave it, 0 where a person did. ``left_out``: what its inspection
    is for was left out by it.
    """

    chosen: tuple[str, ...]
    how: AnswerHow
    goes: str
    verdict: Verdict | None = None
    says: str = ""
    evidence: Mapping[str, float] = field(default_factory=dict)
    reason: str = ""
    instead_of: int = 0
    aside: bool = False
    mistaken: bool = False
    grades: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    goal: str = ""
    recording: int = 0
    left_out: bool = False

    @property
    def graded_evidence(self) -> Mapping[str, float]:
        """The evidence, that of a graded finding with how likely it is at each severity."""
        return {f: self._graded(f, e) for f, e in self.evidence.items()} if self.grades else self.evidence

    def _graded(self, finding: str, e: float) -> float:
        grades = self.grades.get(finding, ())
        return GradedEvidence(e, grades) if len(grades) == len(FaultSeverity) else e

    @property
    def text(self) -> str:
        """What was chosen, or how the step was left, as one text."""
        return chosen_text(self.chosen, self.how)


@dataclass(frozen=True)
class ReadingRecord(EntryRecord):
    """A reading as it stands; ``value`` and its own ``uncertainty`` SI; ``recording``: the event it came of, or 0."""

    item: int
    way: int
    repeat: int
    value: float
    typed: str
    unit: str
    tool: str
    place: str
    reason: str = ""
    instead_of: int = 0
    aside: bool = False
    uncertainty: float = 0.0
    recording: int = 0


@dataclass(frozen=True, slots=True)
class RecordingRecord:
    """A recording kept with the session: its file there, SHA-256, what it was called, and what was fitted to it."""

    seq: int
    at: str
    run: int
    inspection: str
    step: str
    name: str
    sha256: str
    file: str
    found: DecayFit


@dataclass(frozen=True, slots=True)
class SpinRecording:
    """A recorded spin of the session: its file there (none where it is too large), SHA-256, what it was called, and
    what it said. ``phase``: before the decision, or after it.
    """

    seq: int
    at: str
    run: int
    inspection: str
    step: str
    phase: Phase
    name: str
    sha256: str
    file: str
    spin: SpinRecord

    @property
    def ref(self) -> StepRef:
        """The step that took it."""
        return StepRef(self.inspection, self.step)


@dataclass(frozen=True)
class Run:
    """One pass through an inspection. ``at`` is the open step, empty once over. ``how``: open, left, done, void.

    With a ``condition`` it asks the one step that it was entered at (``asked``), to establish what another step needs
    of that condition. ``resumed``: the event that brought it back after it was left, 0 where none did.
    """

    id: int
    inspection: str
    phase: Phase
    visit: int
    at: str
    how: RunStatus
    began: str
    seq: int
    condition: str = ""
    asked: str = ""
    resumed: int = 0

    @property
    def ref(self) -> StepRef:
        """The step that it is at."""
        return StepRef(self.inspection, self.at)

    @property
    def only(self) -> bool:
        """True when it asks one step for another."""
        return bool(self.condition)


@dataclass(frozen=True, slots=True)
class Believed:
    """What one condition of the machine may be: its values, and the event and moment that made it so.

    ``clock``: the seconds that the job had run by then, on the steady clock.
    """

    values: frozenset[str]
    seq: int
    at: str
    clock: float = 0.0


@dataclass(frozen=True, slots=True)
class BeliefChange:
    """One change of what is believed of the machine, for the record and the time line.

    ``belief``: the conditions changed, with what they may be from then on. ``run`` and ``step``: the step that made it
    so, 0 and empty where none did. ``widening``: why less is believed, where the event says so.
    """

    seq: int
    at: str
    event: EventKind
    belief: Mapping[str, frozenset[str]]
    run: int = 0
    step: str = ""
    widening: WideningReason | None = None


@dataclass(frozen=True, slots=True)
class Repair:
    """What became of a confirmed fault. ``alternative``: which of its remedy's was done, where it has any. ``note``:
    where its parts are ordered.

    ``failed``: it was decided since that it did not hold; the fault is repaired once more.
    """

    seq: int
    visit: int
    fault: str
    outcome: RepairOutcome
    parts: tuple[PartFitted, ...]
    reason: str
    recheck: tuple[Target, ...]
    alternative: str = ""
    note: str = ""
    failed: bool = False

    @property
    def holds(self) -> bool:
        """True for what was fitted, and not decided since to have failed."""
        return self.outcome is RepairOutcome.FITTED and not self.failed


@dataclass(frozen=True)
class JobVisit:
    """One visit: who came, and when. ``others``: who went on with it, one after the other."""

    number: int
    technician: str
    ticket: str
    began: str
    others: tuple[str, ...] = ()

    @property
    def people(self) -> tuple[str, ...]:
        """Who worked on this visit, in order; the first may be unnamed."""
        return (self.technician, *self.others)

    @property
    def who(self) -> str:
        """'R. Vale, then S. Ash'; empty where nobody is named."""
        return ", then ".join(name for name in self.people if name)


@dataclass(frozen=True)
class Stoppage:
    """A stop of work and which of its make-safe lines are done (line number to reason, empty when done).

    ``visit``: on which it was stopped. ``entry``: the event of the answer or ``fact`` that led to it, 0 where a person
    stopped it. ``standing``: nobody stopped it then, it stood from an earlier visit. ``slip``: why it was taken back,
    and ``slip_at`` when; empty where it stands. ``cleared_by``: who answered its cause well on a later visit,
    ``cleared_at`` when, and ``cleared_entries`` by which answers or fact; empty until then.
    """

    seq: int
    stop: str
    words: str
    at: str
    visit: int
    done: Mapping[int, str] = field(default_factory=dict)
    entry: int = 0
    fact: str = ""
    standing: bool = False
    slip: str = ""
    slip_at: str = ""
    cleared_by: str = ""
    cleared_at: str = ""
    cleared_entries: tuple[int, ...] = ()

    @property
    def cleared(self) -> bool:
        """True once its cause was asked anew and answered well."""
        return bool(self.cleared_entries)


@dataclass(frozen=True, slots=True)
class ReleaseRecord:
    """A latch that was cleared: which condition, who says that its cause is over, in what words, and when."""

    seq: int
    at: str
    condition: str
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Note:
    """A note or a photo (then with its file's name and SHA-256), of a ``visit``. ``aside``: it was taken back."""

    seq: int
    at: str
    text: str
    inspection: str = ""
    step: str = ""
    name: str = ""
    sha256: str = ""
    visit: int = 0
    aside: bool = False


@dataclass(frozen=True)
class State:
    """A job. ``stack`` holds the ids of the runs on screen, the top one last.

    ``belief``: what each condition of the machine may be, as far as any event told; of the others nothing is known.
    ``shown``: the run and step (0 and a fault's id for a repair) that may be answered now: its needs held, and what
    it may do was written ahead; ``shown_clock``: when that was, on the steady clock. ``shown_seqs``: the event that
    last showed each step (inspection, step) or repair (empty, fault) that needs or may do something.
    ``hands_at``: the work that was on screen when the machine was last left unattended (run and step, 0 and a fault for
    a repair), until something is answered. ``unmeasured``: what a repair wants measured again and wasn't, with the
    reason. ``passed_over``: the event that left each part out on this visit, as long as it was not opened since.
    ``goal``: the confirmed fault whose repair is being prepared. ``fact_seqs``: the event that took each fact last,
    ``fact_times`` when that was. ``former_complaints``: the complaint as it was before it was put right, each time.
    ``decided_words``: what was said to the decision, where a reason was asked for.
    """

    seq: int = 0
    at: str = ""
    clock: float = 0.0
    job: JobState = JobState.NEW
    session: str = ""
    flow: str = ""
    digest: str = ""
    visits: tuple[JobVisit, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)
    fact_seqs: Mapping[str, int] = field(default_factory=dict)
    fact_times: Mapping[str, str] = field(default_factory=dict)
    complaint: str = ""
    former_complaints: tuple[str, ...] = ()
    sheets: tuple[tuple[str, str, tuple[UsedLimit, ...]], ...] = ()
    belief: Mapping[str, Believed] = field(default_factory=dict)
    changes: tuple[BeliefChange, ...] = ()
    shown: tuple[int, str] | None = None
    shown_clock: float = 0.0
    shown_seqs: Mapping[tuple[str, str], int] = field(default_factory=dict)
    hands_at: tuple[tuple[int, str], ...] = ()
    goal: str = ""
    runs: tuple[Run, ...] = ()
    stack: tuple[int, ...] = ()
    answer_records: tuple[AnswerRecord, ...] = ()
    reading_records: tuple[ReadingRecord, ...] = ()
    skipped: Mapping[str, tuple[SkipHow, str]] = field(default_factory=dict)
    unmeasured: Mapping[Target, str] = field(default_factory=dict)
    passed_over: Mapping[Target, int] = field(default_factory=dict)
    notes: tuple[Note, ...] = ()
    recordings: tuple[RecordingRecord, ...] = ()
    spins: tuple[SpinRecording, ...] = ()
    drafts: Mapping[str, str] = field(default_factory=dict)
    decided: tuple[str, ...] | None = None
    decided_seq: int = 0
    decided_words: str = ""
    repairs: tuple[Repair, ...] = ()
    stoppages: tuple[Stoppage, ...] = ()
    releases: tuple[ReleaseRecord, ...] = ()
    handover: tuple[str, str] = ("", "")
    outcome: JobOutcome | None = None

    @property
    def visit(self) -> JobVisit | None:
        """The visit under way, or the last one."""
        return self.visits[-1] if self.visits else None

    @property
    def stops(self) -> tuple[Stoppage, ...]:
        """The stops of the visit under way, or of the last one, in the order in which they came; not slips."""
        number = self.visits[-1].number if self.visits else 0
        return tuple(h for h in self.stoppages if h.visit == number and not h.slip)

    @property
    def run(self) -> Run | None:
        """The run on screen, or None when the job map is."""
        return self.find_run(self.stack[-1]) if self.stack else None

    def find_run(self, run_id: int) -> Run | None:
        """The run with this id, or None."""
        place = self.run_place(run_id)
        return self.runs[place] if place is not None else None

    def run_place(self, run_id: int) -> int | None:
        """Where that run stands among the runs, from 0: elsewhere than its number says only where a damaged record
        lacks the beginning of one before it.
        """
        if 0 < run_id <= len(self.runs) and self.runs[run_id - 1].id == run_id:
            return run_id - 1
        place = bisect_left(self.runs, run_id, key=lambda run: run.id)
        return place if place < len(self.runs) and self.runs[place].id == run_id else None

    def recording(self, seq: int) -> RecordingRecord | None:
        """The recording of that event, or None."""
        return next((k for k in self.recordings if k.seq == seq), None)

    def spin(self, seq: int) -> SpinRecording | None:
        """The recorded spin of that event, or None."""
        return next((k for k in self.spins if k.seq == seq), None)

    @property
    def entries(self) -> tuple[AnswerRecord | ReadingRecord, ...]:
        """All answers and readings, also those set aside."""
        return (*self.answer_records, *self.reading_records)

    @property
    def notes_kept(self) -> tuple[Note, ...]:
        """The notes and photos that were not taken back, in order."""
        return tuple(note for note in self.notes if not note.aside)

    def answers(self, run_id: int) -> tuple[AnswerRecord, ...]:
        """The answers of a run that still count, in order."""
        return tuple(g for g in self.answer_records if g.run == run_id and not g.aside)

    def readings(self, run_id: int, step: str) -> tuple[ReadingRecord, ...]:
        """The readings of a step in a run that still count, by item, way and repeat."""
        rows = (t for t in self.reading_records if t.run == run_id and t.step == step and not t.aside)
        return tuple(sorted(rows, key=lambda t: (t.item, t.way, t.repeat)))
