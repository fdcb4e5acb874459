"""What happened: one frozen dataclass an event, flat enough to be a TOML table.

An event carries all that the fold needs (where the run goes, what is believed of the machine from then on), so the
fold needs no flow and no clock. The first event of a transaction carries the command and the moment it was decided
for (``Asked``): ``wizard.engine.audit`` decides it again, the fold never looks at it.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, ClassVar, TypeAlias

from wizard.domain.chosen_answers import chosen_text
from wizard.domain.references import Target
from wizard.domain.vocabulary import AnswerHow, JobOutcome, Phase, RepairOutcome, RunStatus, SkipHow, Verdict
from wizard.engine.messages.commands import COMMANDS, Command
from wizard.engine.messages.decay_record import DecayFit
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.messages.spin_record import SpinRecord
from wizard.engine.messages.used_limit import UsedLimit
from wizard.errors import JournalError
from wizard.journal.codec import COUNTER, Codec, Place
from wizard.journal.earlier_session import NONE_NAMED, EarlierSession
from wizard.journal.field_types import Unfit, value_text
from wizard.safety import WideningReason

Sets = Mapping[str, frozenset[str]]
"""What conditions of the machine may be: of each that an event changes, the values it may have from then on."""

FORMAT = 2
"""The journal format that this program reads and writes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The base of all events; ``kind`` is its name in the journal."""

    kind: ClassVar[EventKind]


@dataclass(frozen=True, slots=True, kw_only=True)
class Began(Event):
    """The first event of a journal: which format, program and flow it is written by.

    ``format``: journals of format 1 do not name it, so all others do. ``earlier``: the session that was begun before on
    the same computer, with its last seal; ``zone``: how far that computer's clock was from UTC, such as '+01:00'.
    """

    kind: ClassVar[EventKind] = EventKind.BEGAN
    format: int = 1
    program: str = ""
    session: str = ""
    flow: str = ""
    version: str = ""
    digest: str = ""
    earlier: EarlierSession = NONE_NAMED
    zone: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitBegan(Event):
    """A visit to the machine begins; a second one takes the same job up. ``reason``: what became of the stop that ended
    the one before, where nobody has to release it.
    """

    kind: ClassVar[EventKind] = EventKind.VISIT
    number: int
    technician: str = ""
    ticket: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FactTaken(Event):
    """A machine fact, or its correction (then with a reason and the answers that no longer count).

    ``forgotten``: this machine is no longer asked for it. ``undone``: what was taken in sight of its part is taken
    back; it is not known again, and asked anew.
    """

    kind: ClassVar[EventKind] = EventKind.FACT
    fact: str
    value: str
    forgotten: bool = False
    undone: bool = False
    reason: str = ""
    belief: Sets = field(default_factory=dict)
    aside: tuple[int, ...] = ()
    left: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ComplaintTaken(Event):
    """The complaint in the customer's own words."""

    kind: ClassVar[EventKind] = EventKind.COMPLAINT
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetUsed(Event):
    """Limits of a service sheet, kept with the session."""

    kind: ClassVar[EventKind] = EventKind.SHEET
    model: str
    source: str
    limits: tuple[UsedLimit, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered(Event):
    """A run of an inspection begins, or one that was left is resumed (the same ``run``).

    With a ``condition`` it asks this one step, to establish what the step below it on the screen needs of it.
    """

    kind: ClassVar[EventKind] = EventKind.ENTERED
    run: int
    inspection: str
    step: str
    phase: Phase = Phase.BEFORE
    condition: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(Event):
    """One number of a measure step, SI, with what was typed. ``uncertainty``: its own, standard, SI; ``recording``:
    the event of the recording that it was made of, 0 where it was read otherwise.
    """

    kind: ClassVar[EventKind] = EventKind.READING
    run: int
    step: str
    item: int = 0
    way: int = 0
    repeat: int = 0
    value: float
    typed: str
    unit: str
    tool: str = ""
    place: str = ""
    instead_of: int = 0
    reason: str = ""
    uncertainty: float = 0.0
    recording: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordingTaken(Event):
    """A recording kept with the session: its file there, SHA-256, what the file was called, and what was fitted to it.
    The reading made of it follows.
    """

    kind: ClassVar[EventKind] = EventKind.RECORDING
    run: int
    step: str
    name: str
    sha256: str
    file: str
    found: DecayFit


@dataclass(frozen=True, slots=True, kw_only=True)
class SpinRecorded(Event):
    """A recorded spin: its file in the session (no name: too large to be kept), SHA-256, what the file was called, and
    what it said. The answers that it gives follow.
    """

    kind: ClassVar[EventKind] = EventKind.SPIN
    run: int
    step: str
    name: str
    sha256: str
    file: str
    spin: SpinRecord


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered(Event):
    """A step's answer with all it brings about. ``how`` is answer, unable or not-fitted.

    ``chosen``: the id of the answer or verdict, of ticked ones all; empty where none was, or the step not done.

    ``goes`` is the step that follows, or ``end``. A correction names the answer it replaces and those set aside by
    it. ``grades``: of findings in ``evidence`` that were graded, the log of how many times as likely what was read is
    where a mild, moderate, severe fault shows the finding as where none does. ``recording``: the event of the
    recorded spin that gave it, 0 where a person did. ``left_out``: what the inspection is for was left out by it.
    """

    kind: ClassVar[EventKind] = EventKind.ANSWERED
    run: int
    step: str
    chosen: tuple[str, ...]
    how: AnswerHow = AnswerHow.ANSWER
    goes: str
    verdict: Verdict | None = None
    says: str = ""
    evidence: Mapping[str, float] = field(default_factory=dict)
    grades: Mapping[str, tuple[float, ...]] = field(default_factory=dict)
    reason: str = ""
    belief: Sets = field(default_factory=dict)
    contradicts: tuple[str, ...] = ()
    instead_of: int = 0
    aside: tuple[int, ...] = ()
    recording: int = 0
    left_out: bool = False

    @property
    def text(self) -> str:
        """What was chosen, or how the step was left, as one text."""
        return chosen_text(self.chosen, self.how)


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(Event):
    """The last answer (or reading) is taken back: ``seq`` no longer counts and the run stands at ``step`` again.

    The act is not undone by it: of each condition that it touched nothing is known.
    """

    kind: ClassVar[EventKind] = EventKind.UNDONE
    seq: int
    run: int
    step: str
    belief: Sets = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class InspectionLeft(Event):
    """A run leaves the screen. ``how``: done, left (its place is kept), or void (what it asked no longer matters)."""

    kind: ClassVar[EventKind] = EventKind.LEFT
    run: int
    how: RunStatus


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown(Event):
    """A step may be shown: all that it needs holds. What may come of it is believed from now on, answered or not.

    Of a repair, ``run`` is 0 and ``step`` the fault.
    """

    kind: ClassVar[EventKind] = EventKind.SHOWN
    run: int
    step: str
    belief: Sets = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Widened(Event):
    """Less is known of the machine than before: nobody attended it, or whoever knew is gone."""

    kind: ClassVar[EventKind] = EventKind.WIDENED
    why: WideningReason
    belief: Sets = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Paused(Event):
    """A break was declared."""

    kind: ClassVar[EventKind] = EventKind.PAUSED


@dataclass(frozen=True, slots=True, kw_only=True)
class TakenOver(Event):
    """Another person goes on with the visit from here."""

    kind: ClassVar[EventKind] = EventKind.TAKEN_OVER
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Released(Event):
    """The cause of a stop is said to be over: ``condition`` is no longer latched, and is asked anew."""

    kind: ClassVar[EventKind] = EventKind.RELEASED
    condition: str
    name: str
    words: str
    belief: Sets = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Headed(Event):
    """The repair of a confirmed fault is being prepared: what it needs is asked. No ``fault``: no longer."""

    kind: ClassVar[EventKind] = EventKind.HEADED
    fault: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped(Event):
    """An inspection is passed over. ``how``: skipped or not-fitted. ``recheck``: a measuring again that a repair
    wants (then maybe from one ``step`` on).
    """

    kind: ClassVar[EventKind] = EventKind.SKIPPED
    inspection: str
    how: SkipHow
    reason: str
    step: str = ""
    recheck: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteTaken(Event):
    """A note at a step, or at none."""

    kind: ClassVar[EventKind] = EventKind.NOTE
    text: str
    run: int = 0
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTaken(Event):
    """A photo kept with the session: its file there, SHA-256 and caption."""

    kind: ClassVar[EventKind] = EventKind.PHOTO
    name: str
    sha256: str
    caption: str = ""
    run: int = 0
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteUndone(Event):
    """A note or photo is taken back: that of the event ``seq``. It stays in the record, and its file in the session."""

    kind: ClassVar[EventKind] = EventKind.NOTE_UNDONE
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftKept(Event):
    """What was typed but could not be taken, because something is asked again first."""

    kind: ClassVar[EventKind] = EventKind.DRAFT
    run: int
    step: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided(Event):
    """The technician confirms one fault, several, or none. ``again``: of those the repaired ones whose repair did not
    hold, so that they are repaired once more.
    """

    kind: ClassVar[EventKind] = EventKind.DECIDED
    faults: tuple[str, ...]
    again: tuple[str, ...] = ()
    belief: Sets = field(default_factory=dict)
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RepairDone(Event):
    """A confirmed fault is dealt with, or put off. ``alternative``: which of the remedy's was done. ``note``:
    where its parts are ordered.
    """

    kind: ClassVar[EventKind] = EventKind.REPAIRED
    fault: str
    outcome: RepairOutcome
    parts: tuple[PartFitted, ...] = ()
    reason: str = ""
    belief: Sets = field(default_factory=dict)
    recheck: tuple[Target, ...] = ()
    alternative: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped(Event):
    """Work is stopped for a reason of the flow. ``entry``: the event of the answer that led to it, or of the
    ``fact``; 0 where a person stopped it. ``standing``: nobody stopped it now; it stands from an earlier visit.
    """

    kind: ClassVar[EventKind] = EventKind.STOPPED
    stop: str
    words: str = ""
    entry: int = 0
    fact: str = ""
    standing: bool = False
    belief: Sets = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class StopWithdrawn(Event):
    """The stop of that event came of a slip. Both stay; what led to it no longer counts, and nothing is known of what
    it spoke of. ``aside``: those answers and readings. Work goes on unless another stop stands.
    """

    kind: ClassVar[EventKind] = EventKind.STOP_WITHDRAWN
    stopped: int
    stop: str
    reason: str
    belief: Sets = field(default_factory=dict)
    aside: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StopCleared(Event):
    """The stop of that event, of an earlier visit, is over: its cause was asked anew and answered well. ``name``: who
    answered; ``entries``: the events of the answers, or of the fact, that say so.
    """

    kind: ClassVar[EventKind] = EventKind.STOP_CLEARED
    stopped: int
    stop: str
    name: str
    entries: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSafe(Event):
    """One line of a stop's make-safe list is done, or could not be (then with a reason)."""

    kind: ClassVar[EventKind] = EventKind.MADE_SAFE
    stop: str
    line: int
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver(Event):
    """The papers of a visit were written: the customer's summary with its SHA-256, and of those ``beside`` it theirs.

    That of the summary is taken without its last line, in which the seal is written when the visit is closed.
    """

    kind: ClassVar[EventKind] = EventKind.HANDED_OVER
    name: str
    sha256: str
    beside: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed(Event):
    """The visit is closed, with how it ended."""

    kind: ClassVar[EventKind] = EventKind.CLOSED
    outcome: JobOutcome


# A dataclass with slots is a class made anew; the one that it was made of may still be about.
CODEC = Codec(cls for cls in Event.__subclasses__() if "__slots__" in vars(cls))


@dataclass(frozen=True, slots=True)
class When:
    """The moment of a transaction as the journal holds it, as far as its first event doesn't."""

    kind: ClassVar[str] = "when"
    idle: float = 0.0
    backwards: bool = False
    gap: float = 0.0


WHEN = Codec((When,))

Believing: TypeAlias = (
    FactTaken
    | Answered
    | Undone
    | Shown
    | Widened
    | Released
    | Decided
    | RepairDone
    | Stopped
    | StopWithdrawn
)
"""The events that may say what is believed of the machine from then on."""

OfStep: TypeAlias = (
    Entered
    | ReadingTaken
    | RecordingTaken
    | SpinRecorded
    | Answered
    | Undone
    | Shown
    | NoteTaken
    | PhotoTaken
    | DraftKept
)
"""The events with a run and the step of it."""

OfRun: TypeAlias = OfStep | InspectionLeft
"""The events with a run."""

Reasoned: TypeAlias = (
    VisitBegan
    | FactTaken
    | ReadingTaken
    | Answered
    | Skipped
    | Decided
    | RepairDone
    | StopWithdrawn
    | MadeSafe
)
"""The events that may have a reason in words."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a transaction was decided for: the command, the seconds since the last key, and whether a clock went back.

    ``gap``: seconds that the program itself did not run (a computer that was suspended), 0 where none were seen.
    """

    command: Command
    idle: float = 0.0
    backwards: bool = False
    gap: float = 0.0


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event with its place in order, the wall time (UTC, ISO 8601) and the seconds since the one before.

    ``asked`` stands at the first event of each transaction.
    """

    seq: int
    at: str
    since: float
    event: Event
    asked: Asked | None = None


def to_dict(record: Recorded) -> dict[str, Any]:
    """The record as a table for the journal. Fields that stand at their default are left out."""
    table = CODEC.write(record.event, Place(record.seq, record.at, record.since))
    if record.asked is not None:
        asked = record.asked
        at = {"idle": asked.idle, "backwards": asked.backwards, "gap": asked.gap}
        table["asked"] = COMMANDS.write_part(asked.command)
        table["when"] = {name: value for name, value in at.items() if value}
    return table


def from_dict(table: Mapping[str, Any]) -> Recorded:
    """The record of a journal's table.

    Raises JournalError naming the event when its kind or a field is unknown, missing or of the wrong type.
    """
    place, event = CODEC.read({key: value for key, value in table.items() if key not in ("asked", "when")})
    return Recorded(place.sequence, place.at, place.since, event, _asked(table))


def _asked(table: Mapping[str, Any]) -> Asked | None:
    """What a transaction was decided for, if its first event is this table's."""
    if "asked" not in table:
        return None
    try:
        at = WHEN.read_part({"kind": When.kind, **_table(table.get("when", {}))})
        return Asked(COMMANDS.read_part(_table(table["asked"])), at.idle, at.backwards, at.gap)
    except ValueError as problem:
        raise JournalError(
            f"Event {value_text(table.get(COUNTER, '?'))}: what was asked can't be read: {problem}. "
            "It was written by another version of the program, or altered."
        ) from problem


def _table(value: object) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise Unfit(f"is {value_text(value)}, not a table")
    return value


def records_of(tables: Iterable[Mapping[str, Any]], name: str) -> tuple[Recorded, ...]:
    """The records of a journal's tables; ``name`` says in messages whose they are.

    Raises JournalError for a journal of another format, before anything else in it is read, and for an event that
    can't be read.
    """
    tables = tuple(tables)
    found = tables[0].get("format", 1) if tables and tables[0].get("kind") == Began.kind else FORMAT
    if found != FORMAT:
        older = isinstance(found, int) and found < FORMAT
        raise JournalError(
            f"{name} is of format {value_text(found)}; this program reads format {FORMAT}. "
            + (
                "Read it with the older program that wrote it; begin a new job here."
                if older
                else "Use a newer one."
            )
        )
    return tuple(from_dict(table) for table in tables)
