"""No path reaches a step whose safety state doesn't hold, and every state that work needs can be reached."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.engine.safety import Stance
from wizard.flow.model import STATES, Inspection
from wizard.proof.proofs.machines import STANCES, START, Facts, Routes, say, tell, to_end
from wizard.proof.proofs.search import Act, Harm, Search
from wizard.proof.proofs.shape import FIRST, REPAIR, Shape, repairs, shapes
from wizard.proof.proofs.shown import Places, Shown


def safe(routes: Routes, places: Places) -> Iterator[Shown]:
    """Search the shape of every machine; each harm once, as a path that the engine takes on that machine."""
    told: set[tuple[str, str]] = set()
    for small in shapes(routes):
        search = Search(small.flow)
        search.run()
        for harm in search.harms:
            if (harm.kind, harm.inspection) not in told:
                told.add((harm.kind, harm.inspection))
                yield _harm(routes, places, small, harm)


def _harm(routes: Routes, places: Places, small: Shape, harm: Harm) -> Shown:
    facts = _machine(routes, small, harm.inspection)
    witness = (*tell(facts), *(line for act in harm.path for line in _lift(routes, facts, small, act)))
    names = small.stands_for.get(harm.inspection, (harm.inspection,))
    more = f" (and {len(names) - 1} more like it)" if len(names) > 1 else ""
    what = "safety state" if harm.kind == "unsafe" else "no way on"
    said = f'inspection "{harm.inspection}"{more}: {what}: {harm.says}'
    rule = "state" if harm.kind == "unsafe" else "way"
    return places.show(places.inspection(harm.inspection), said, rule, witness)


def _machine(routes: Routes, small: Shape, inspection: str) -> Facts:
    """A machine of the shape that has the inspection."""
    found = routes.maps.flow.inspections.get(inspection)
    mine = {routes.gates_of(facts) for facts in small.machines}
    fitting = routes.machines(found.applies) if found else []
    return next((f for f in fitting if routes.gates_of(f) in mine), small.machines[0])


def _lift(routes: Routes, facts: Facts, small: Shape, act: Act) -> tuple[str, ...]:
    """An act on the shape as lines on the flow: for a gate, the like one that this machine has."""
    maps = routes.maps
    if len(act) > 1 and act[1] in small.stands_for:
        mine = routes.gates_of(facts)
        act = (act[0], next((g for g in small.stands_for[act[1]] if g in mine), act[1]), *act[2:])
    match act:
        case ("answer", gate, step, "done"):
            lines = maps.passing(gate)
            return lines[:1] if step == FIRST and len(lines) > 1 else lines[1:] if len(lines) > 1 else lines
        case ("answer", inspection, _, "over") if not inspection.startswith(REPAIR):
            return to_end(maps, inspection)
        case ("answer", inspection, _, answer) if answer.startswith("void-"):
            return _voiding(routes, small, inspection, int(answer.removeprefix("void-")))
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


def _voiding(routes: Routes, small: Shape, inspection: str, number: int) -> tuple[str, ...]:
    step = small.flow.inspections[inspection].steps[0]
    answer = step.answer(f"void-{number}")
    for name in small.stands_for[inspection]:
        if answer and name in routes.maps.flow.inspections:
            path = routes.maps.path(name, lambda w: w.chosen is not None and w.chosen.voids == answer.voids)
            if path:
                return routes.maps.spell(name, path)
    return ()


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
