"""The flow as the program works on it: frozen dataclasses, no reading of files, no rules.

Every id is the text a trainer wrote. Numbers of readings and limits are in SI; ``unit`` is how people read them.
A name ending in ``_s`` would be redundant here: times are minutes, as the trade counts them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.flow.evidence import Band, Fault, Finding, Limit, Part, Remedy, Tool

__all__ = [
    "AIDS",
    "END",
    "SIGNAL_WORDS",
    "STATES",
    "VERDICTS",
    "Answer",
    "Band",
    "Bar",
    "Caution",
    "Compute",
    "Debt",
    "Drawing",
    "Fact",
    "FactValue",
    "Fault",
    "Finding",
    "Flow",
    "Inspection",
    "Limit",
    "Part",
    "Reading",
    "Remedy",
    "Step",
    "Stop",
    "Tool",
    "Unable",
]

STATES = ("covered", "isolated", "proved-dead", "wet", "proving")
"""The safety states that a step may need. ``any`` in a file means all of them."""

SIGNAL_WORDS = ("danger", "warning", "caution", "notice")
"""ANSI Z535.6 / ISO 3864: danger *will*, warning *could* kill or injure badly; caution *could* injure
slightly; notice, no injury."""

VERDICTS = ("pass", "watch", "fail")
"""From best to worst."""

AIDS = ("stopwatch", "taps", "clock", "feet", "bleed", "recording")
"""What helps to measure: a stopwatch, a counter of swings, the clock round a rim, the four feet from above, how long a
charged part still needs to bleed down, a recording of a tub that swings out."""

END = "end"
"""As ``next``: the inspection ends here."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning that stands before the action. ``word`` is one of SIGNAL_WORDS."""

    word: str
    says: str


@dataclass(frozen=True, slots=True)
class FactValue:
    """One value a machine fact can take. ``note`` is shown once it is chosen."""

    id: str
    says: str
    note: str = ""
    bar: tuple[str, ...] = ()
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Fact:
    """A machine fact asked at arrival. With no ``values`` it is free text and nothing may depend on it.

    ``applies`` says for which earlier facts it is asked at all: every named fact has one of the values.
    """

    id: str
    ask: str
    values: tuple[FactValue, ...] = ()
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    usual: str = ""
    required: bool = True

    def value(self, value_id: str) -> FactValue | None:
        """The value with this id, or None."""
        return next((v for v in self.values if v.id == value_id), None)


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer of a step, or what follows from a verdict (then ``id`` is the verdict).

    ``finds`` w gives the finding the evidence e = w, ``rules_out`` w gives e = 1 - w; ``unticked`` (only where
    several may be ticked) is ``rules_out`` for when it is left alone. ``most`` bounds a loop: once this answer
    was given that often in a run, ``then`` is taken instead of ``next``. ``voids`` names safety states this ends.
    ``good``: in a gate, as safe as the usual answer. ``alone``: nobody helps from now on.
    """

    id: str
    says: str = ""
    next: str = END
    finds: Mapping[str, float] = field(default_factory=dict)
    rules_out: Mapping[str, float] = field(default_factory=dict)
    unticked: Mapping[str, float] = field(default_factory=dict)
    verdict: str = ""
    bar: tuple[str, ...] = ()
    lift: tuple[str, ...] = ()
    owe: tuple[str, ...] = ()
    pay: tuple[str, ...] = ()
    voids: tuple[str, ...] = ()
    stop: str = ""
    usual: bool = False
    most: int = 0
    then: str = ""
    good: bool = False
    alone: bool = False


@dataclass(frozen=True, slots=True)
class Reading:
    """What a measure step reads. ``low`` and ``high`` are the range in SI, inclusive.

    ``each`` is the id of a machine fact whose value is a whole number: that many items, called ``item``; or
    ``places`` names the items outright. ``ways`` are directions (out, in). One number an item, way and repeat:
    both ways of an item before the next item, or with ``way_by_way`` all items one way before the next way.
    ``usual`` is the value in SI that a healthy machine gives.
    """

    unit: str
    low: float
    high: float
    tool: str
    each: str = ""
    item: str = ""
    places: tuple[str, ...] = ()
    ways: tuple[str, ...] = ()
    way_by_way: bool = False
    repeats: int = 1
    usual: float | None = None


@dataclass(frozen=True, slots=True)
class Compute:
    """A named calculator and the steps it draws from: ``inputs`` maps its argument to ``inspection.step``.

    ``settings`` are constants of the calculator, in SI where they have a unit. ``choices`` maps a choice of the
    calculator to the choose step (``inspection.step``) or the machine fact that makes it.
    """

    calculator: str
    inputs: Mapping[str, str] = field(default_factory=dict)
    settings: Mapping[str, float | str] = field(default_factory=dict)
    choices: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Unable:
    """Where 'unable' and 'not fitted' lead. In a gate ``stop`` is set and ``next`` is not used."""

    next: str = END
    stop: str = ""


@dataclass(frozen=True, slots=True)
class Step:
    """One screen. ``kind`` is tell, look, choose, measure or compute.

    tell has the one answer ``done``; look has ``yes`` and ``no`` unless the file names others; measure and compute
    have an answer a verdict (``pass``, ``watch``, ``fail``), or ``done`` where there is no limit. ``evidence``
    maps a finding to the ids of the bands that speak for it: its evidence is the probability of being in them.
    ``does`` names activities (spin, water) that bars and debts may forbid. ``many``: several answers may be ticked;
    then ``next`` of every answer is the same. ``aid`` is one of AIDS, or empty.
    """

    id: str
    kind: str
    do: str
    answers: tuple[Answer, ...]
    expect: str = ""
    caution: tuple[Caution, ...] = ()
    drawing: str = ""
    many: bool = False
    reading: Reading | None = None
    compute: Compute | None = None
    limit: str = ""
    evidence: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    does: tuple[str, ...] = ()
    minutes: float = 1.0
    aid: str = ""
    unable: Unable = field(default_factory=Unable)

    def answer(self, answer_id: str) -> Answer | None:
        """The answer with this id, or None."""
        return next((a for a in self.answers if a.id == answer_id), None)

    @property
    def usual(self) -> Answer | None:
        """The answer that a healthy machine gives, where one is marked."""
        return next((a for a in self.answers if a.usual), None)


@dataclass(frozen=True, slots=True)
class Inspection:
    """The steps for one part of the machine.

    ``states`` are the safety states its steps may be answered in (``gate`` is the one it establishes when all of
    it went well, else empty). ``energised``: a covered inspection that needs the plug in. ``opens`` are debts
    (panels) that begin with its first answer. ``absent`` is recorded as 'not fitted' where it doesn't apply.
    ``after_only``: it belongs to proving the repair and is no evidence for the ranking.
    """

    id: str
    title: str
    steps: tuple[Step, ...]
    states: tuple[str, ...] = STATES
    gate: str = ""
    energised: bool = False
    applies: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    absent: str = ""
    people: int = 1
    minutes: float = 5.0
    opens: tuple[str, ...] = ()
    caution: tuple[Caution, ...] = ()
    why: str = ""
    after_only: bool = False

    def step(self, step_id: str) -> Step | None:
        """The step with this id, or None."""
        return next((s for s in self.steps if s.id == step_id), None)

    def following(self, step_id: str) -> str:
        """The id of the step after this one in the file, or END."""
        ids = [s.id for s in self.steps]
        place = ids.index(step_id) + 1
        return ids[place] if place < len(ids) else END


@dataclass(frozen=True, slots=True)
class Bar:
    """Something that forbids activities until a named step or remedy lifts it."""

    id: str
    says: str
    forbids: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Debt:
    """Something owed until a named step or remedy pays it; ``before`` are activities it must be paid before.

    Every debt must be paid before a job is closed, unless work was stopped. ``minutes``: opening and closing it.
    """

    id: str
    says: str
    before: tuple[str, ...] = ()
    minutes: float = 0.0


@dataclass(frozen=True, slots=True)
class Stop:
    """A reason to stop work: whom to call, how to leave the machine safe (one act a line), and the bars it leaves."""

    id: str
    says: str
    call: str
    make_safe: tuple[str, ...]
    bar: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Drawing:
    """A line drawing with named regions. ``rows`` and ``plain`` (ASCII) have the same shape.

    ``regions`` maps a name to the cells (row, column) that are lit.
    """

    id: str
    rows: tuple[str, ...]
    plain: tuple[str, ...]
    regions: Mapping[str, frozenset[tuple[int, int]]]


@dataclass(frozen=True, slots=True)
class Flow:
    """Everything a trainer wrote for one complaint.

    ``kind`` is the id of the fact whose values have shares and priors. ``find`` and ``prove`` are the default
    order of inspections before and after the decision; ``leave`` leaves a machine waiting for parts;
    ``handover`` is the last one. ``digest`` is the SHA-256 of its files.
    """

    id: str
    title: str
    complaint: str
    version: str
    digest: str
    notice: str
    kind: str
    facts: tuple[Fact, ...]
    inspections: Mapping[str, Inspection]
    find: tuple[str, ...]
    prove: tuple[str, ...]
    leave: str
    handover: str
    faults: Mapping[str, Fault]
    findings: Mapping[str, Finding]
    limits: Mapping[str, tuple[Limit, ...]]
    tools: Mapping[str, Tool]
    bars: Mapping[str, Bar]
    debts: Mapping[str, Debt]
    stops: Mapping[str, Stop]
    drawings: Mapping[str, Drawing]
    occupancy: float = 0.3

    def fact(self, fact_id: str) -> Fact | None:
        """The machine fact with this id, or None."""
        return next((f for f in self.facts if f.id == fact_id), None)

    def gate(self, state: str) -> tuple[Inspection, ...]:
        """The inspections that establish this safety state."""
        return tuple(i for i in self.inspections.values() if i.gate == state)


def fits(applies: Mapping[str, tuple[str, ...]], facts: Mapping[str, str]) -> bool:
    """True when every fact that ``applies`` names has one of the values it lists."""
    return not applies or all(facts.get(fact) in values for fact, values in applies.items())
