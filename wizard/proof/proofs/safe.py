"""No path reaches a step whose safety state doesn't hold, and every state that work needs can be reached."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from wizard.engine.machine import SafetyMachine
from wizard.engine.safety import Stance, after_void
from wizard.flow.model import STATES, Inspection
from wizard.proof.proofs.machines import STANCES, START, Facts, Routes, say, tell, to_end
from wizard.proof.proofs.search import Act, Harm, Search
from wizard.proof.proofs.shape import FIRST, REPAIR, VOID, Shape, repairs, shapes
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import STOP, Way, good


def safe(routes: Routes, places: Places) -> Iterator[Shown]:
    """Search the shape of every machine; each harm once, as a path that the engine takes on that machine."""
    yield from _undone(routes, places)
    told: set[tuple[str, str]] = set()
    for small in shapes(routes):
        search = Search(small.flow)
        search.run()
        for harm in search.harms:
            if (harm.kind, harm.inspection) not in told:
                told.add((harm.kind, harm.inspection))
                yield _harm(routes, places, small, harm)


def _undone(routes: Routes, places: Places) -> Iterator[Shown]:
    """Each good answer of a gate that ends what the gate establishes or stands on: it could never be passed by it."""
    for gate in routes.gates:
        for ways in routes.maps.of(gate.id).values():
            for way in ways:
                ends = _ends(gate, way.chosen.voids) if way.chosen else ""
                if ends and good(routes.maps.flow, gate.id, way) and not way.goes.startswith(STOP):
                    said = (
                        f'gate "{gate.id}", step "{way.step}", answer "{way.answer}": it leads on to {gate.gate} and '
                        f"ends {ends}, so the gate can't be passed by it. Take {ends} out of voids, or stop work"
                    )
                    place = places.step(gate.id, way.step, way.answer)
                    yield places.show(place, said, "way", _to_way(routes, gate, way))


def _ends(gate: Inspection, voids: tuple[str, ...]) -> str:
    """The state that a gate establishes, or from which alone it can be passed, if an answer in it ends that."""
    may = SafetyMachine().may_pass
    lost = {s: after_void(s, voids) for s in (gate.gate, *gate.states)}
    stands_on = (s for s in gate.states if may(s, "gate", gate.gate) and not may(lost[s], "gate", gate.gate))
    return next(stands_on, gate.gate if lost[gate.gate] != gate.gate else "")


def _to_way(routes: Routes, gate: Inspection, way: Way) -> tuple[str, ...]:
    """The lines that open a gate and give an answer in it."""
    maps = routes.maps
    facts = next(iter(routes.machines(gate.applies)), {})
    path = maps.path(gate.id, lambda w: w == way, allowed=lambda w: w == way or good(maps.flow, gate.id, w))
    return (*tell(facts), *routes.opening(facts, gate), *maps.spell(gate.id, path or ()))


Voiding = Mapping[str, tuple[str, tuple[Way, ...]]]
"""Inspection of the shape -> the one of the flow that voids in its place, and the path in it to that answer."""


def _harm(routes: Routes, places: Places, small: Shape, harm: Harm) -> Shown:
    voiding = {act[1]: found for act in harm.path if (found := _voiding(routes, small, act)) is not None}
    facts = _machine(routes, small, harm.inspection, *(name for name, _ in voiding.values()))
    lines = (line for act in harm.path for line in _lift(routes, facts, small, voiding, act))
    names = small.stands_for.get(harm.inspection, (harm.inspection,))
    more = f" (and {len(names) - 1} more like it)" if len(names) > 1 else ""
    what, rule = ("safety state", "state") if harm.kind == "unsafe" else ("no way on", "way")
    place, whose = places.inspection(harm.inspection), f'inspection "{harm.inspection}"{more}'
    if voiding:
        name, path = list(voiding.values())[-1]
        place = places.step(name, path[-1].step, path[-1].answer)
        whose = f'inspection "{name}", step "{path[-1].step}", answer "{path[-1].answer}"'
    return places.show(place, f"{whose}: {what}: {harm.says}", rule, (*tell(facts), *lines))


def _machine(routes: Routes, small: Shape, *inspections: str) -> Facts:
    """A machine of the shape that has these inspections."""
    found = [
        routes.maps.flow.inspections[i].applies for i in inspections if i in routes.maps.flow.inspections
    ]
    mine = {routes.gates_of(facts) for facts in small.machines}
    fitting = routes.machines(*found) if found else []
    return next((f for f in fitting if routes.gates_of(f) in mine), small.machines[0])


def _lift(routes: Routes, facts: Facts, small: Shape, voiding: Voiding, act: Act) -> tuple[str, ...]:
    """An act on the shape as lines on the flow: the gate that this machine has, the inspection that voids."""
    maps = routes.maps
    if len(act) > 1 and act[1] in small.stands_for:
        act = (act[0], _real(routes, facts, small, voiding, act[1]), *act[2:])
    match act:
        case ("answer", name, _, answer) if answer.startswith(VOID):
            return next((maps.spell(name, path) for known, path in voiding.values() if known == name), ())
        case ("answer", gate, step, "done"):
            lines = maps.passing(gate)
            return lines[:1] if step == FIRST and len(lines) > 1 else lines[1:] if len(lines) > 1 else lines
        case ("answer", inspection, _, "over") if not inspection.startswith(REPAIR):
            return to_end(maps, inspection)
        case ("answer", inspection, _, "unable"):
            first = (
                maps.flow.inspections[inspection].steps[0].id if inspection in maps.flow.inspections else ""
            )
            return (f"{inspection}.{first}: unable",) if first else ()
        case ("answer", *_):
            return ()
        case ("stop",):
            return (f"stop {next(iter(maps.flow.stops), '')}",)
        case ("correct", _):
            return ("correct the gate",)
    return (" ".join(act),)


def _real(routes: Routes, facts: Facts, small: Shape, voiding: Voiding, name: str) -> str:
    if name in voiding:
        return voiding[name][0]
    mine = routes.gates_of(facts)
    return next((g for g in small.stands_for[name] if g in mine), name)


def _voiding(routes: Routes, small: Shape, act: Act) -> tuple[str, tuple[Way, ...]] | None:
    """For an act that voids: the inspection of the flow that does so, and the path in it to that answer."""
    if act[0] != "answer" or not act[3].startswith(VOID):
        return None
    answer = small.flow.inspections[act[1]].steps[0].answer(act[3])
    for name in small.stands_for[act[1]]:
        if answer and name in routes.maps.flow.inspections:
            path = routes.maps.path(name, lambda w: _voids(w) == answer.voids)
            if path:
                return name, path
    return None


def _voids(way: Way) -> tuple[str, ...]:
    return way.chosen.voids if way.chosen and not way.goes.startswith(STOP) else ()


def reached(routes: Routes, places: Places) -> Iterator[Shown]:
    """From every stance, on every machine that it is for, a way of the engine leads to each inspection and repair."""
    flow = routes.maps.flow
    known: dict[tuple[str, ...], tuple[Stance, ...]] = {}
    for work in (*flow.inspections.values(), *repairs(flow)):
        if found := _lost(routes, work, known):
            facts, stance = found
            fault = work.id.removeprefix(REPAIR) if work.id not in flow.inspections else ""
            whose = f'fault "{fault}": its remedy' if fault else f'inspection "{work.id}"'
            does = (f"confirm {fault}", f"mend {fault}: fitted") if fault else (f"open {work.id}",)
            place = places.entry("fault", fault) if fault else places.inspection(work.id)
            said = f"{whose} {_no_way(work.states, facts, stance)}"
            yield places.show(place, said, "way", (*tell(facts), *_to(routes, facts, stance), *does))


def _lost(
    routes: Routes, target: Inspection, known: dict[tuple[str, ...], tuple[Stance, ...]]
) -> tuple[Facts, Stance] | None:
    """A machine and a stance from which nothing leads to the target; ``known`` keeps the stances of each machine."""
    if set(target.states) == set(STATES) and not target.gate:
        return None
    for facts in routes.machines(target.applies):
        gates = routes.gates_of(facts)
        if gates not in known:
            known[gates] = tuple(_stances(routes, facts))
        for stance in known[gates]:
            if not routes.leads(facts, stance, target):
                return facts, stance
    return None


def _stances(routes: Routes, facts: Facts) -> Iterator[Stance]:
    """The stances that a machine can be brought to, from the start and after an interruption."""
    yield from (START, Stance("covered", False))
    for stance in STANCES:
        if stance.safety != "covered" and stance.restored == (stance.safety == "proving"):
            place = Inspection("", "", (), states=(stance.safety,))
            if routes.leads(facts, START, place):
                yield stance


def _no_way(states: tuple[str, ...], facts: Facts, stance: Stance) -> str:
    opened = "" if stance.restored or stance.safety != "covered" else ", opened before"
    return (
        f"needs {' or '.join(states)}, and no gate leads there on {say(facts)} while the machine is "
        f'{stance.safety}{opened}. Write a gate for it, or widen the "applies" of one'
    )


def _to(routes: Routes, facts: Facts, stance: Stance) -> tuple[str, ...]:
    """Lines that bring the machine into a stance."""
    state = "isolated" if stance == Stance("covered", False) else stance.safety
    moves = routes.route(facts, START, Inspection("", "", (), states=(state,))) or ()
    gates = [m.gate for m in moves if m.gate]
    lines = [line for gate in gates for line in routes.maps.passing(gate)]
    opened = (f"open {gates[-1]}", *lines) if gates else ()
    return (*opened, "break") if opened and stance.safety == "covered" else opened
