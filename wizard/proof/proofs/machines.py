"""The machines that a flow tells apart, and the ways to a safety state on each, by the engine's own ``route``."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from wizard.engine.safety import Move, Stance, route
from wizard.flow.model import END, STATES, Fact, Flow, Inspection, fits
from wizard.proof.proofs.ways import Maps

Facts = Mapping[str, str]
MOST = 20_000
"""The most machines looked at for one question; more facts at once decide nothing in any flow."""

START = Stance("covered", True)
"""Where every job begins."""

STANCES = tuple(Stance(state, restored) for state in STATES for restored in (True, False))
"""Every stance in which a job can be at work."""


def machines(flow: Flow, facts: Iterable[str]) -> list[dict[str, str]]:
    """Every combination of the named facts and of those that decide whether they are asked.

    A fact that isn't asked of a machine is left out; a value that stops work ends the visit and is none.
    """
    wanted = set(facts)
    chosen: list[Fact] = []
    for fact in reversed(flow.facts):
        if fact.id in wanted and fact.values:
            chosen.insert(0, fact)
            wanted.update(fact.applies)
    found: list[dict[str, str]] = [{}]
    for fact in chosen:
        found = [more for one in found for more in _with(fact, one)][:MOST]
    return found


def _with(fact: Fact, so_far: dict[str, str]) -> list[dict[str, str]]:
    asked = fits(fact.applies, so_far)
    without = [] if asked and fact.required else [so_far]
    values = [v.id for v in fact.values if not v.stop] if asked else []
    return without + [{**so_far, fact.id: value} for value in values]


@dataclass(slots=True)
class Routes:
    """Which gates a machine has, and the ways to its work. Machines with the same gates share their routes."""

    maps: Maps
    slim: Flow = field(init=False)
    _known: dict[tuple[object, ...], tuple[Move, ...] | None] = field(default_factory=dict)
    _machines: dict[tuple[object, ...], list[dict[str, str]]] = field(default_factory=dict)

    _gates: dict[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)
    _kinds: dict[tuple[str, ...], frozenset[tuple[str, tuple[str, ...]]]] = field(default_factory=dict)
    _leads: dict[tuple[object, ...], bool] = field(default_factory=dict)
    _deciding: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        flow = self.maps.flow
        self._deciding = tuple(sorted({f for i in flow.inspections.values() if i.gate for f in i.applies}))
        self.slim = replace(flow, inspections={i.id: i for i in flow.inspections.values() if i.gate})

    @property
    def gates(self) -> tuple[Inspection, ...]:
        """Every gate of the flow."""
        return tuple(self.slim.inspections.values())

    def machines(self, *applies: Mapping[str, tuple[str, ...]]) -> list[dict[str, str]]:
        """One machine for each set of gates that a machine can have on which all of ``applies`` hold."""
        facts = {f for one in applies for f in one} | {f for g in self.gates for f in g.applies}
        key = (tuple(sorted(facts)), *(tuple(sorted(one.items())) for one in applies))
        if key not in self._machines:
            found: dict[tuple[str, ...], dict[str, str]] = {}
            for machine in machines(self.maps.flow, facts):
                if all(fits(one, machine) for one in applies):
                    found.setdefault(self.gates_of(machine), machine)
            self._machines[key] = list(found.values())
        return self._machines[key]

    def gates_of(self, facts: Facts) -> tuple[str, ...]:
        """The gates that apply to a machine."""
        key = tuple(facts.get(name, "") for name in self._deciding)
        if key not in self._gates:
            self._gates[key] = tuple(g.id for g in self.gates if fits(g.applies, facts))
        return self._gates[key]

    def route(self, facts: Facts, stance: Stance, target: Inspection) -> tuple[Move, ...] | None:
        """The engine's route, remembered."""
        key = (self.gates_of(facts), stance, target.states, target.energised, target.gate)
        if key not in self._known:
            self._known[key] = route(self.slim, facts, stance, target)
        return self._known[key]

    def leads(self, facts: Facts, stance: Stance, target: Inspection) -> bool:
        """True when there is a route. Machines whose gates are alike in states and purpose are asked for once."""
        mine = self.gates_of(facts)
        if mine not in self._kinds:
            gates = map(self.slim.inspections.__getitem__, mine)
            self._kinds[mine] = frozenset((g.gate, g.states) for g in gates)
        key = (self._kinds[mine], stance, target.states, target.energised, target.gate)
        if key not in self._leads:
            self._leads[key] = self.route(facts, stance, target) is not None
        return self._leads[key]

    def opening(self, facts: Facts, target: Inspection, stance: Stance = START) -> tuple[str, ...]:
        """The lines that open an inspection from a stance and pass the gates on the way."""
        moves = self.route(facts, stance, target) or ()
        gates = [line for m in moves if m.gate for line in self.maps.passing(m.gate)]
        return (f"open {target.id}", *gates)


def tell(facts: Facts) -> tuple[str, ...]:
    """The lines of a witness that say which machine it is."""
    return tuple(f"fact {name} = {value}" for name, value in facts.items())


def say(facts: Facts) -> str:
    """A machine in words."""
    return ", ".join(f"{name} {value}" for name, value in facts.items()) or "any machine"


def to_end(maps: Maps, inspection: str) -> tuple[str, ...]:
    """The lines of the shortest way through an inspection to its end, whatever is answered."""
    path = maps.path(inspection, lambda w: w.goes == END)
    return maps.spell(inspection, path) if path else ()
