"""What the model is made of: conditions, reaches and acts, as plain frozen data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any

from wizard.domain.references import ActRef

_EMPTY: Mapping[str, Any] = MappingProxyType({})

Belief = Mapping[str, frozenset[str]]
"""Condition id -> the values that it may have. Never an empty set."""

Needs = Mapping[str, frozenset[str]]
"""Condition id -> the values that are allowed. What it doesn't name may be anything."""

Applies = Mapping[str, tuple[str, ...]]
"""Fact id -> the values for which something is there at all."""


def _nothing() -> Mapping[str, Any]:
    return _EMPTY


@dataclass(frozen=True, slots=True)
class Condition:
    """One thing about the machine that can be one way or another.

    ``values`` are value id -> words, in the order of the file. ``alone`` says what each value may turn into while
    nobody attends; it is closed (see :func:`closed`). ``rests_on`` (``while`` in a file): believed only while each of
    these conditions is within these values; else ``alone`` applies at once. ``latch`` are the values that outlive
    everything but a release. ``short`` are the words of a badge, ``handover`` those of the
    customer's paper, which says nothing of a value without them. ``last``: asked right before power, of who is near
    and not of the machine. ``passing``: it holds for the work that it was asked for, no longer. ``urgent``: the values
    whose words come first on the badge. ``hands``: values, each with the least reach of a step that needs it.
    ``contradicted``: the reason to stop work where it is found otherwise than it was believed.
    """

    id: str
    says: str
    values: Mapping[str, str]
    alone: Mapping[str, frozenset[str]] = field(default_factory=_nothing)
    rests_on: Needs = field(default_factory=_nothing)
    latch: frozenset[str] = frozenset()
    applies: Applies = field(default_factory=_nothing)
    short: Mapping[str, str] = field(default_factory=_nothing)
    handover: Mapping[str, str] = field(default_factory=_nothing)
    last: bool = False
    passing: bool = False
    urgent: frozenset[str] = frozenset()
    hands: Mapping[str, str] = field(default_factory=_nothing)
    contradicted: str = ""


@dataclass(frozen=True, slots=True)
class Reach:
    """Where the hands go, and all that must hold there; what is inherited is in ``needs`` already.

    ``begins``: what the step must need that work of this kind begins with; it goes on in the steps after it. ``may``:
    what each step there says that it may change. ``warns``: each step there, or its inspection, carries a warning.
    """

    id: str
    says: str
    needs: Needs = field(default_factory=_nothing)
    source: str = ""
    verbs: tuple[str, ...] = ()
    begins: Needs = field(default_factory=_nothing)
    may: Needs = field(default_factory=_nothing)
    warns: bool = False


@dataclass(frozen=True, slots=True)
class Effect:
    """One answer as the model sees it: what it says of conditions, whether it is the usual one, whether work
    stops.
    """

    id: str
    so: Needs = field(default_factory=_nothing)
    usual: bool = False
    stop: bool = False


@dataclass(frozen=True, slots=True)
class Tick:
    """One of several answers that may be given together: the condition that it alone speaks of.

    ``given`` and ``left`` are the values if it is ticked and if it isn't, empty where it says nothing then.
    """

    id: str
    condition: str
    given: frozenset[str]
    left: frozenset[str]
    usual: bool = False


@dataclass(frozen=True, slots=True)
class Act:
    """All that the model knows of a step.

    ``needs`` are those of its reach and its own together. ``may`` is what can come of
    it, answered or not. ``establishes``: it may be asked on its own, to bring about what its usual answer says.
    ``ticks`` where several answers may be given together, and each speaks of its own condition.
    """

    id: ActRef
    needs: Needs = field(default_factory=_nothing)
    may: Needs = field(default_factory=_nothing)
    answers: tuple[Effect, ...] = ()
    establishes: bool = True
    applies: Applies = field(default_factory=_nothing)
    ticks: tuple[Tick, ...] = ()

    @property
    def usual(self) -> Effect | None:
        """Its usual answer, None where it has none."""
        return next((effect for effect in self.answers if effect.usual), None)


def fits(applies: Applies, facts: Mapping[str, str]) -> bool:
    """True when every fact that ``applies`` names is known and has one of the values it lists."""
    return all(facts.get(fact) in values for fact, values in applies.items())


def closed(values: Mapping[str, str], alone: Mapping[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    """``alone`` made reflexive and transitive: what each value may have turned into, however long nobody attends."""
    grown = {value: frozenset((value,)) | alone.get(value, frozenset()) for value in values}
    while True:
        wider = {
            value: frozenset[str]().union(*(grown.get(v, frozenset((v,))) for v in turns))
            for value, turns in grown.items()
        }
        if wider == grown:
            return wider
        grown = wider


def merged(*needs: Needs) -> dict[str, frozenset[str]]:
    """All of these needs together: of a condition that several name, what all of them allow.

    Makes the needs of a reach (those of ``from`` and its own) and of an act (its reach's and its own).
    """
    both: dict[str, frozenset[str]] = {}
    for each in needs:
        for condition, allowed in each.items():
            both[condition] = both[condition] & allowed if condition in both else allowed
    return both


def loosened(library: Needs, own: Needs) -> tuple[str, ...]:
    """The conditions of which a flow's ``own`` needs allow a value that the ``library``'s don't. Must be none."""
    return tuple(c for c, allowed in own.items() if c in library and not allowed <= library[c])
