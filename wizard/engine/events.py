"""What happened: one frozen dataclass an event, flat enough to be a TOML table.

An event carries all that the fold needs (where the run goes, which bars and debts it sets), so the fold needs no
flow and no clock. What the rules would have said is checked by ``wizard.engine.audit``, never by the fold.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, field, fields
from typing import Any, ClassVar

from wizard.errors import JournalError


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """The base of all events; ``kind`` is its name in the journal."""

    kind: ClassVar[str] = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Began(Event):
    """The first event of a journal: which format, program and flow it is written by."""

    kind: ClassVar[str] = "began"
    format: int = 1
    program: str = ""
    session: str = ""
    flow: str = ""
    version: str = ""
    digest: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitBegan(Event):
    """A visit to the machine begins; a second one takes the same job up."""

    kind: ClassVar[str] = "visit"
    number: int
    technician: str = ""
    ticket: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FactTaken(Event):
    """A machine fact, or its correction (then with a reason and the answers that no longer count).

    ``forgotten``: this machine is no longer asked for it.
    """

    kind: ClassVar[str] = "fact"
    fact: str
    value: str
    forgotten: bool = False
    reason: str = ""
    bar: tuple[str, ...] = ()
    aside: tuple[int, ...] = ()
    left: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ComplaintTaken(Event):
    """The complaint in the customer's own words."""

    kind: ClassVar[str] = "complaint"
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetUsed(Event):
    """Limits of a service sheet, kept with the session: each a table as ``wizard.engine.sheets`` writes it."""

    kind: ClassVar[str] = "sheet"
    model: str
    source: str
    limits: tuple[Mapping[str, Any], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Entered(Event):
    """A run of an inspection begins, or one that was left is taken up again (the same ``run``)."""

    kind: ClassVar[str] = "entered"
    run: int
    inspection: str
    step: str
    phase: str = "before"


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingTaken(Event):
    """One number of a measure step, SI, with what was typed. ``uncertainty``: its own, standard, SI; ``recording``: the
    event of the recording that it was made of, 0 where it was read otherwise.
    """

    kind: ClassVar[str] = "reading"
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
    """A recording kept with the session: its file there, SHA-256, what the file was called, and what was fitted to it
    (a table as ``wizard.engine.recordings`` writes it). The reading made of it follows.
    """

    kind: ClassVar[str] = "recording"
    run: int
    step: str
    name: str
    sha256: str
    file: str
    found: Mapping[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered(Event):
    """A step's answer with all it brings about. ``how`` is answer, unable or not-fitted.

    ``goes`` is the step that follows, or ``end``. A correction names the answer it replaces and those set aside by it.
    """

    kind: ClassVar[str] = "answered"
    run: int
    step: str
    answer: str
    how: str = "answer"
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
    aside: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(Event):
    """The last answer (or reading) is taken back: ``seq`` no longer counts and the run stands at ``step`` again."""

    kind: ClassVar[str] = "undone"
    seq: int
    run: int
    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Left(Event):
    """A run leaves the screen. ``how``: done, left (its place is kept), or void (a gate that no longer counts)."""

    kind: ClassVar[str] = "left"
    run: int
    how: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SafetyChanged(Event):
    """The safety state changes. ``why``: gate, restart, lapse, pause, correction, visit, stop, closed-up, spin-over."""

    kind: ClassVar[str] = "safety"
    was: str
    state: str
    why: str
    run: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Skipped(Event):
    """An inspection is passed over. ``how``: skipped or not-fitted."""

    kind: ClassVar[str] = "skipped"
    inspection: str
    how: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteTaken(Event):
    """A note at a step, or at none."""

    kind: ClassVar[str] = "note"
    text: str
    run: int = 0
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoTaken(Event):
    """A photo kept with the session: its file there, SHA-256 and caption."""

    kind: ClassVar[str] = "photo"
    name: str
    sha256: str
    caption: str = ""
    run: int = 0
    step: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonNamed(Event):
    """The second person, where two are needed; with no name: nobody helps from here on."""

    kind: ClassVar[str] = "person"
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftKept(Event):
    """What was typed but could not be taken, because the gate had lapsed."""

    kind: ClassVar[str] = "draft"
    run: int
    step: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Decided(Event):
    """The technician confirms one fault, several, or none."""

    kind: ClassVar[str] = "decided"
    faults: tuple[str, ...]
    bar: tuple[str, ...] = ()
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Repaired(Event):
    """A confirmed fault is dealt with. ``outcome``: fitted, declined or on-order."""

    kind: ClassVar[str] = "repaired"
    fault: str
    outcome: str
    parts: tuple[str, ...] = ()
    reason: str = ""
    owe: tuple[str, ...] = ()
    pay: tuple[str, ...] = ()
    lift: tuple[str, ...] = ()
    recheck: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Stopped(Event):
    """Work is stopped for a reason of the flow."""

    kind: ClassVar[str] = "stopped"
    stop: str
    words: str = ""
    bar: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSafe(Event):
    """One line of a stop's make-safe list is done, or could not be (then with a reason)."""

    kind: ClassVar[str] = "made-safe"
    line: int
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandedOver(Event):
    """The papers of a visit were written: the customer's summary with its SHA-256, and of those ``beside`` it theirs.

    That of the summary is taken without its last line, in which the seal is written when the visit is closed.
    """

    kind: ClassVar[str] = "handed-over"
    name: str
    sha256: str
    beside: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed(Event):
    """The visit is closed. ``outcome``: proved, not-proved, no-fault, declined, on-order or stopped."""

    kind: ClassVar[str] = "closed"
    outcome: str


KINDS: Mapping[str, type[Event]] = {cls.kind: cls for cls in Event.__subclasses__()}


@dataclass(frozen=True, slots=True)
class Recorded:
    """An event with its place in order, the wall time (UTC, ISO 8601) and the seconds since the one before."""

    seq: int
    at: str
    since: float
    event: Event


def to_dict(record: Recorded) -> dict[str, Any]:
    """The record as a table for the journal. Fields that stand at their default are left out."""
    table: dict[str, Any] = {
        "sequence": record.seq,
        "at": record.at,
        "since": record.since,
        "kind": record.event.kind,
    }
    for spec in fields(record.event):
        value = getattr(record.event, spec.name)
        if not _default(spec, value):
            table[spec.name] = _plain(value)
    return table


def from_dict(table: Mapping[str, Any]) -> Recorded:
    """The record of a journal's table.

    Raises JournalError naming the event when its kind or a field is unknown, missing or of the wrong type.
    """
    try:
        return _record(table)
    except (TypeError, ValueError, OverflowError) as problem:
        raise JournalError(
            f"Event {table.get('sequence', '?')} ({table.get('kind', 'no kind')}) can't be read: {problem}. "
            "It was written by another version of the program, or altered."
        ) from problem


def _record(table: Mapping[str, Any]) -> Recorded:
    """The record, or a ValueError or TypeError that says which key is wrong."""
    rest = dict(table)
    seq, at = int(_taken(rest, "sequence")), str(_taken(rest, "at"))
    since, kind = _typed("float", _taken(rest, "since")), _taken(rest, "kind")
    if not isinstance(kind, str) or kind not in KINDS:
        raise ValueError(f"no event is of kind {kind!r}")
    specs = fields(KINDS[kind])
    values = {s.name: _typed(s.type, rest.pop(s.name)) for s in specs if s.name in rest}
    for spec in specs:
        if spec.name not in values and spec.default is MISSING and spec.default_factory is MISSING:
            raise ValueError(f"its key {spec.name!r} is missing")
    if rest:
        raise ValueError(f"such an event has no key {next(iter(rest))!r}")
    return Recorded(seq, at, since, KINDS[kind](**values))


def _taken(rest: dict[str, Any], key: str) -> Any:
    if key not in rest:
        raise ValueError(f"its key {key!r} is missing")
    return rest.pop(key)


def _default(spec: Any, value: Any) -> bool:
    if spec.default is not MISSING:
        return bool(value == spec.default) and type(value) is type(spec.default)
    return spec.default_factory is not MISSING and value == spec.default_factory()


def _plain(value: Any) -> Any:
    if isinstance(value, tuple):
        return [_plain(v) for v in value]
    if isinstance(value, Mapping):
        return {k: _plain(v) for k, v in value.items()}
    return value


def _typed(kind: Any, value: Any) -> Any:
    """Check a value against the field's type, written as text by ``from __future__ import annotations``."""
    name = str(kind)
    if name.startswith("tuple[") and isinstance(value, list):
        inner = {"tuple[int": int, "tuple[str": str}.get(name.split(",")[0], Mapping)
        if not all(isinstance(v, inner) for v in value):
            raise TypeError(f"{value!r} holds something else than {name} says")
        return tuple(value)
    expected: Any = {"int": int, "float": (int, float), "str": str, "bool": bool}.get(name, Mapping)
    if not isinstance(value, expected) or (isinstance(value, bool) and name != "bool"):
        raise TypeError(f"{value!r} is not {name}")
    if name != "float":
        return value
    if not math.isfinite(value):
        raise ValueError(f"{value!r} is no finite number")
    return float(value)
