"""What may be asked of the engine: one frozen dataclass a command. One that answers names its run and step.

Each has a ``kind``, its name in the journal, where it stands beside what came of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import ClassVar, TypeAlias

from wizard.domain.vocabulary import AnswerHow, Phase, RepairOutcome, SkipHow
from wizard.engine.messages.decay_record import DecayFit
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.messages.spin_record import SpinRecord
from wizard.flow.model import Limit
from wizard.journal.codec import Codec
from wizard.journal.earlier_session import NONE_NAMED, EarlierSession


@dataclass(frozen=True, slots=True)
class Command:
    """The base of all commands; ``kind`` is its name in the journal."""

    kind: ClassVar[str] = ""


@dataclass(frozen=True, slots=True)
class Begin(Command):
    """Begin a job. ``earlier``: the session that was begun before on this computer; ``zone``: '+01:00', where it is."""

    kind: ClassVar[str] = "begin"
    program: str
    session: str
    flow: str
    version: str
    digest: str
    technician: str = ""
    ticket: str = ""
    earlier: EarlierSession = NONE_NAMED
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Restart(Command):
    """The journal was loaded: whoever knew how the machine stands may have been gone."""

    kind: ClassVar[str] = "restart"


@dataclass(frozen=True, slots=True)
class Touch(Command):
    """A key was pressed, with this text in a field, or the program's heart beat."""

    kind: ClassVar[str] = "touch"
    typed: str = ""


@dataclass(frozen=True, slots=True)
class SetFact(Command):
    """Take a machine fact, or correct it with a reason."""

    kind: ClassVar[str] = "set-fact"
    fact: str
    value: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SetComplaint(Command):
    """Take the complaint in the customer's own words."""

    kind: ClassVar[str] = "set-complaint"
    words: str


@dataclass(frozen=True, slots=True)
class UseSheet(Command):
    """Judge by a service sheet's limits from now on."""

    kind: ClassVar[str] = "use-sheet"
    model: str
    source: str
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True)
class OpenInspection(Command):
    """Open an inspection; what its first step needs is asked first. ``step`` begins a measuring again there."""

    kind: ClassVar[str] = "open"
    inspection: str
    step: str = ""
    phase: Phase | None = None


@dataclass(frozen=True, slots=True)
class OnStep(Command):
    """The base of commands that answer a step."""

    run: int
    step: str


@dataclass(frozen=True, slots=True)
class GiveAnswer(OnStep):
    """Choose an answer by its id; where several may be ticked, any number of them."""

    kind: ClassVar[str] = "answer"
    chosen: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class TakeReading(OnStep):
    """Type one number. ``sure`` takes a value outside the step's range."""

    kind: ClassVar[str] = "take-reading"
    typed: str
    item: int = 0
    way: int = 0
    repeat: int = 0
    unit: str = ""
    tool: str = ""
    place: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True)
class TakeRecording(OnStep):
    """Take the number that a recording gave. ``name``, ``sha256``: its file in the session; ``file``: its own
    name.
    """

    kind: ClassVar[str] = "take-recording"
    found: DecayFit
    file: str
    name: str = ""
    sha256: str = ""
    item: int = 0
    way: int = 0
    repeat: int = 0
    sure: bool = False

    @property
    def typed(self) -> str:
        """The number, as it is kept where a lapse comes before it."""
        return self.found.typed


@dataclass(frozen=True, slots=True)
class TakeSpin(OnStep):
    """Take a recorded spin: what it said. ``name``, ``sha256``: its file in the session (no name: it is too large to be
    kept there); ``file``: its own name.
    """

    kind: ClassVar[str] = "take-spin"
    spin: SpinRecord
    file: str
    name: str = ""
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class Judge(OnStep):
    """Judge the readings of a measure step, or compute a compute step. With readings left out, ``reason`` says
    why.
    """

    kind: ClassVar[str] = "judge"
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SayUnable(OnStep):
    """The step can't be done, or its part is not fitted (``how``), and why."""

    kind: ClassVar[str] = "unable"
    reason: str
    how: AnswerHow = AnswerHow.UNABLE


@dataclass(frozen=True, slots=True)
class Leave(Command):
    """Leave the run on screen for the job map; its place is kept."""

    kind: ClassVar[str] = "leave"


@dataclass(frozen=True, slots=True)
class Skip(Command):
    """Pass over an inspection, or a ``recheck`` of it (maybe from one ``step`` on), with a reason."""

    kind: ClassVar[str] = "skip"
    inspection: str
    reason: str
    how: SkipHow = SkipHow.SKIPPED
    recheck: bool = False
    step: str = ""


@dataclass(frozen=True, slots=True)
class Undo(Command):
    """Take back the last answer or reading. What it touched of the machine is asked again where it is needed."""

    kind: ClassVar[str] = "undo"


@dataclass(frozen=True, slots=True)
class Correct(Command):
    """Put another answer in place of an earlier one, with a reason; the path is walked again."""

    kind: ClassVar[str] = "correct"
    seq: int
    chosen: tuple[str, ...]
    reason: str


@dataclass(frozen=True, slots=True)
class CorrectReading(Command):
    """Put another number in place of an earlier reading, with a reason; its step is judged again.

    Without a ``unit`` it counts in the one that the earlier was typed in. ``sure`` as in ``TakeReading``.
    """

    kind: ClassVar[str] = "correct-reading"
    seq: int
    typed: str
    reason: str
    unit: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True)
class AddNote(Command):
    """Write a note at the step on screen, or at none."""

    kind: ClassVar[str] = "add-note"
    text: str


@dataclass(frozen=True, slots=True)
class AddPhoto(Command):
    """Keep a photo: its file in the session, SHA-256 and caption."""

    kind: ClassVar[str] = "add-photo"
    name: str
    sha256: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class Pause(Command):
    """A break: nobody attends the machine until the next key."""

    kind: ClassVar[str] = "pause"


@dataclass(frozen=True, slots=True)
class TakeOver(Command):
    """Another person goes on with the visit: what the one before saw, they didn't."""

    kind: ClassVar[str] = "take-over"
    name: str


@dataclass(frozen=True, slots=True)
class Confirm(Command):
    """Confirm one fault, several, or none."""

    kind: ClassVar[str] = "confirm"
    faults: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Prepare(Command):
    """Get ready to repair a confirmed fault: what its remedy needs is asked. No fault: no longer."""

    kind: ClassVar[str] = "prepare"
    fault: str = ""


@dataclass(frozen=True, slots=True)
class RecordRepair(Command):
    """Deal with a confirmed fault: ``outcome`` is fitted, declined or on-order.

    ``alternative``: which of the remedy's was done, required of one fitted where the remedy has any. ``note``: of
    parts on order, where and when. ``counted``: the value of the fact that a part's count goes by, where nobody had
    counted before the part was in hand.
    """

    kind: ClassVar[str] = "repair"
    fault: str
    outcome: RepairOutcome
    parts: tuple[PartFitted, ...] = ()
    reason: str = ""
    alternative: str = ""
    note: str = ""
    counted: str = ""


@dataclass(frozen=True, slots=True)
class StopWork(Command):
    """Stop work for a reason of the flow, or add a second reason while it is stopped."""

    kind: ClassVar[str] = "stop-work"
    stop: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class MakeSafe(Command):
    """One line of a stop's make-safe list is done, or could not be, and why."""

    kind: ClassVar[str] = "make-safe"
    stop: str
    line: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class WithdrawStop(Command):
    """The last stop of this visit came of a slip: why, and what is so. What led to it is asked anew."""

    kind: ClassVar[str] = "withdraw-stop"
    reason: str


@dataclass(frozen=True, slots=True)
class Release(Command):
    """Say that the cause of a stop is over: who says so, and what was found or done. It is asked anew then."""

    kind: ClassVar[str] = "release"
    condition: str
    name: str
    words: str


@dataclass(frozen=True, slots=True)
class AskCause(Command):
    """Ask anew what work was stopped for on an earlier visit: nothing else ends the stop."""

    kind: ClassVar[str] = "ask-cause"
    stop: str


@dataclass(frozen=True, slots=True)
class RecordHandover(Command):
    """The papers were written: the customer's summary and those ``beside`` it, each with its SHA-256."""

    kind: ClassVar[str] = "record-handover"
    name: str
    sha256: str
    beside: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Close(Command):
    """Close this visit."""

    kind: ClassVar[str] = "close"


@dataclass(frozen=True, slots=True)
class BeginVisit(Command):
    """Come back to a stopped or closed job. ``reason``: what became of a stop that nobody has to release."""

    kind: ClassVar[str] = "begin-visit"
    technician: str = ""
    ticket: str = ""
    reason: str = ""


COMMANDS = Codec(
    cls
    for base in (Command, OnStep)
    for cls in base.__subclasses__()
    if cls.kind and "__slots__" in vars(cls)
)
"""How commands are written into a journal, each by its kind."""

Reasoned: TypeAlias = (
    SetFact | GiveAnswer | Judge | SayUnable | Skip | Correct | CorrectReading | Confirm | RecordRepair
    | MakeSafe | WithdrawStop | BeginVisit
)  # fmt: skip
"""The commands that may have a reason in words."""

Ranged: TypeAlias = TakeReading | TakeRecording | CorrectReading
"""The commands with a number that may be out of its range, and is taken if somebody is sure of it."""


def typed_text(command: Command) -> str:
    """The text that was typed for a step's command, or stood in a field at a key: a number, else a reason."""
    if isinstance(command, TakeReading | TakeRecording | Touch):
        return command.typed
    return command.reason if isinstance(command, Reasoned) else ""
