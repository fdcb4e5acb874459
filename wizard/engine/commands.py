"""What may be asked of the engine: one frozen dataclass a command. One that answers names its run and step."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.engine.recordings import Swung
from wizard.flow.model import Limit


@dataclass(frozen=True, slots=True)
class Command:
    """The base of all commands."""


@dataclass(frozen=True, slots=True)
class SetFact(Command):
    """Take a machine fact, or correct it with a reason."""

    fact: str
    value: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class SetComplaint(Command):
    """Take the complaint in the customer's own words."""

    words: str


@dataclass(frozen=True, slots=True)
class UseSheet(Command):
    """Judge by a service sheet's limits from now on."""

    model: str
    source: str
    limits: tuple[Limit, ...]


@dataclass(frozen=True, slots=True)
class Open(Command):
    """Open an inspection, through whatever gates its safety state needs. ``step`` begins a measuring again there."""

    inspection: str
    step: str = ""
    phase: str = ""


@dataclass(frozen=True, slots=True)
class GoOn(Command):
    """Go on with the run on screen after its safety state ended: enter the gate that it needs."""


@dataclass(frozen=True, slots=True)
class OnStep(Command):
    """The base of commands that answer a step."""

    run: int
    step: str


@dataclass(frozen=True, slots=True)
class Answer(OnStep):
    """Choose an answer; several ticked ones are joined by '+', none is 'none'."""

    answer: str
    reason: str = ""


@dataclass(frozen=True, slots=True)
class TakeReading(OnStep):
    """Type one number. ``sure`` takes a value outside the step's range."""

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
    """Take the number that a recording gave. ``name``, ``sha256``: its file in the session; ``file``: its own name."""

    found: Swung
    file: str
    name: str = ""
    sha256: str = ""
    item: int = 0
    way: int = 0
    repeat: int = 0
    sure: bool = False

    @property
    def typed(self) -> str:
        """The number, as it is kept where the gate has lapsed."""
        return self.found.typed


@dataclass(frozen=True, slots=True)
class Judge(OnStep):
    """Judge the readings of a measure step, or compute a compute step. With readings left out, ``reason`` says why."""

    reason: str = ""


@dataclass(frozen=True, slots=True)
class Unable(OnStep):
    """The step can't be done, or its part is not fitted (``how``), and why."""

    reason: str
    how: str = "unable"


@dataclass(frozen=True, slots=True)
class Leave(Command):
    """Leave the run on screen for the job map; its place is kept, a gate's is not."""


@dataclass(frozen=True, slots=True)
class Skip(Command):
    """Pass over an inspection, or a ``recheck`` (``inspection.step``), with a reason. Never a gate."""

    inspection: str
    reason: str
    how: str = "skipped"
    recheck: bool = False


@dataclass(frozen=True, slots=True)
class Undo(Command):
    """Take back the last answer or reading; never across a safety change."""


@dataclass(frozen=True, slots=True)
class Correct(Command):
    """Put another answer in place of an earlier one, with a reason; the path is walked again."""

    seq: int
    answer: str
    reason: str


@dataclass(frozen=True, slots=True)
class CorrectReading(Command):
    """Put another number in place of an earlier reading, with a reason; its step is judged again.

    Without a ``unit`` it counts in the one that the earlier was typed in. ``sure`` as in ``TakeReading``.
    """

    seq: int
    typed: str
    reason: str
    unit: str = ""
    sure: bool = False


@dataclass(frozen=True, slots=True)
class AddNote(Command):
    """Write a note at the step on screen, or at none."""

    text: str


@dataclass(frozen=True, slots=True)
class AddPhoto(Command):
    """Keep a photo: its file in the session, SHA-256 and caption."""

    name: str
    sha256: str
    caption: str = ""


@dataclass(frozen=True, slots=True)
class NamePerson(Command):
    """Name the second person."""

    name: str


@dataclass(frozen=True, slots=True)
class Pause(Command):
    """A break: every gate ends."""


@dataclass(frozen=True, slots=True)
class Confirm(Command):
    """Confirm one fault, several, or none."""

    faults: tuple[str, ...]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Mend(Command):
    """Deal with a confirmed fault: ``outcome`` is fitted, declined or on-order."""

    fault: str
    outcome: str
    parts: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True)
class StopWork(Command):
    """Stop work for a reason of the flow."""

    stop: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class MakeSafe(Command):
    """One line of the make-safe list is done, or could not be, and why."""

    line: int
    reason: str = ""


@dataclass(frozen=True, slots=True)
class RecordHandover(Command):
    """The papers were written: the customer's summary and those ``beside`` it, each with its SHA-256."""

    name: str
    sha256: str
    beside: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Close(Command):
    """Close this visit."""


@dataclass(frozen=True, slots=True)
class BeginVisit(Command):
    """Come back to a stopped or closed job."""

    technician: str = ""
    ticket: str = ""
