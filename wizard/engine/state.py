"""Where a job stands: what the fold makes of its events. Frozen, compared by value, knows no flow."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from wizard.engine.recordings import Swung

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
class Given:
    """An answer as it stands. ``aside``: no longer on the path, taken back or corrected; kept, but no evidence."""

    seq: int
    at: str
    visit: int
    run: int
    inspection: str
    step: str
    phase: str
    answer: str
    how: str
    goes: str
    verdict: str = ""
    says: str = ""
    evidence: Mapping[str, float] = field(default_factory=dict)
    bar: tuple[str, ...] = ()
    lift: tuple[str, ...] = ()
    owe: tuple[str, ...] = ()
    pay: tuple[str, ...] = ()
    reason: str = ""
    instead_of: int = 0
    aside: bool = False


@dataclass(frozen=True)
class Taken:
    """A reading as it stands; ``value`` and its own ``uncertainty`` SI; ``recording``: the event it came of, or 0."""

    seq: int
    at: str
    visit: int
    run: int
    inspection: str
    step: str
    phase: str
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
class Kept:
    """A recording kept with the session: its file there, SHA-256, what it was called, and what was fitted to it."""

    seq: int
    at: str
    run: int
    inspection: str
    step: str
    name: str
    sha256: str
    file: str
    found: Swung


@dataclass(frozen=True)
class Run:
    """One pass through an inspection. ``at`` is the open step, empty once over. ``how``: open, left, done, void."""

    id: int
    inspection: str
    phase: str
    visit: int
    at: str
    how: str
    began: str
    seq: int


@dataclass(frozen=True, slots=True)
class Effect:
    """What an event does to bars and debts. ``source``: ``answer:SEQ`` counts while that answer does, ``fact:ID`` and
    ``decision`` until the next of its kind, empty for good.
    """

    seq: int
    source: str
    bar: tuple[str, ...] = ()
    lift: tuple[str, ...] = ()
    owe: tuple[str, ...] = ()
    pay: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Repair:
    """What became of a confirmed fault."""

    seq: int
    visit: int
    fault: str
    outcome: str
    parts: tuple[str, ...]
    reason: str
    recheck: tuple[str, ...]


@dataclass(frozen=True)
class Visit:
    """One visit: who came, when, and the second person if there was one; ``alone``: who no longer helps."""

    number: int
    technician: str
    ticket: str
    began: str
    person: str = ""
    alone: bool = False


@dataclass(frozen=True)
class Halt:
    """A stop of work and which of its make-safe lines are done (line number to reason, empty when done)."""

    stop: str
    words: str
    at: str
    done: Mapping[int, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Jotting:
    """A note or a photo (then with its file's name and SHA-256)."""

    seq: int
    at: str
    text: str
    inspection: str = ""
    step: str = ""
    name: str = ""
    sha256: str = ""


@dataclass(frozen=True, slots=True)
class Gate:
    """One change of the safety state, for the record and the time line."""

    seq: int
    at: str
    was: str
    state: str
    why: str
    run: int


@dataclass(frozen=True)
class State:
    """A job. ``job`` is new, working, stopped or closed. ``safety`` is a safety state; ``restored`` is False from the
    first entry into 'isolated' until the machine was closed up through the proving gate. ``known`` is the last safety
    change that a gate made, for the words on resuming. ``stack`` holds the ids of the runs on screen, the top one last.
    """

    seq: int = 0
    at: str = ""
    job: str = "new"
    session: str = ""
    flow: str = ""
    digest: str = ""
    visits: tuple[Visit, ...] = ()
    facts: Mapping[str, str] = field(default_factory=dict)
    complaint: str = ""
    sheets: tuple[tuple[str, str, tuple[Mapping[str, Any], ...]], ...] = ()
    safety: str = "covered"
    restored: bool = True
    known: Gate | None = None
    gates: tuple[Gate, ...] = ()
    runs: tuple[Run, ...] = ()
    stack: tuple[int, ...] = ()
    given: tuple[Given, ...] = ()
    taken: tuple[Taken, ...] = ()
    effects: tuple[Effect, ...] = ()
    skipped: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    jottings: tuple[Jotting, ...] = ()
    recordings: tuple[Kept, ...] = ()
    drafts: Mapping[str, str] = field(default_factory=dict)
    decided: tuple[str, ...] | None = None
    decided_seq: int = 0
    repairs: tuple[Repair, ...] = ()
    halt: Halt | None = None
    handover: tuple[str, str] = ("", "")
    outcome: str = ""

    @property
    def visit(self) -> Visit | None:
        """The visit under way, or the last one."""
        return self.visits[-1] if self.visits else None

    @property
    def run(self) -> Run | None:
        """The run on screen, or None when the job map is."""
        return self.find_run(self.stack[-1]) if self.stack else None

    def find_run(self, run_id: int) -> Run | None:
        """The run with this id, or None."""
        return self.runs[run_id - 1] if 0 < run_id <= len(self.runs) else None

    def recording(self, seq: int) -> Kept | None:
        """The recording of that event, or None."""
        return next((k for k in self.recordings if k.seq == seq), None)

    @property
    def entries(self) -> tuple[Given | Taken, ...]:
        """All answers and readings, also those set aside."""
        return (*self.given, *self.taken)

    def answers(self, run_id: int) -> tuple[Given, ...]:
        """The answers of a run that still count, in order."""
        return tuple(g for g in self.given if g.run == run_id and not g.aside)

    def readings(self, run_id: int, step: str) -> tuple[Taken, ...]:
        """The readings of a step in a run that still count, by item, way and repeat."""
        rows = (t for t in self.taken if t.run == run_id and t.step == step and not t.aside)
        return tuple(sorted(rows, key=lambda t: (t.item, t.way, t.repeat)))
