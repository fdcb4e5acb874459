"""Nobody gets past a gate: every way to its end is by answers that are all good, and never by 'unable'."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import END, Inspection
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.plan import Plan
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import STOP, UNABLE, Way, good

_BECAUSE = {
    "spent": "once the answer was given as often as it may be",
    "bad": "though not all is well",
    "unsaid": "though nothing says that it is as safe as the usual answer",
}
_MEND = {
    "spent": "Lead it back to its step (with most and a stop), or stop work",
    "bad": "Lead it back to its step (with most and a stop), or stop work",
    "unsaid": "Stop work, lead it back to its step (with most and a stop), or write good = true if it is",
}


def passed(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """Each gate: no way to its end with an answer standing that isn't good, and one way to it with all of them good."""
    routes = ledger.routes
    for gate in routes.gates:
        for way in _bad_ways(routes, gate):
            rest = _on_to_end(routes, gate, way)
            if way.chosen is None:
                yield from _unable(ledger, places, gate, way)
            elif rest is not None:
                yield _passed(ledger, places, gate, way, rest)
        if not routes.maps.passing(gate.id):
            said = f'gate "{gate.id}": no good answers lead to its end, so {gate.gate} is never reached'
            yield places.show(places.inspection(gate.id), said, "passed", (f"gate {gate.id}",))


def _bad_ways(routes: Routes, gate: Inspection) -> Iterator[Way]:
    for ways in routes.maps.of(gate.id).values():
        yield from (way for way in ways if not good(routes.maps.flow, gate.id, way))


def _on_to_end(routes: Routes, gate: Inspection, way: Way) -> tuple[Way, ...] | None:
    """The rest of a way to the gate's end that doesn't ask the step again, which would put the answer right."""
    if way.goes == END:
        return ()
    if way.goes not in routes.maps.of(gate.id) or way.goes == way.step:
        return None
    return routes.maps.path(gate.id, lambda w: w.goes == END, way.goes, lambda w: w.step != way.step)


def _unable(ledger: Ledger, places: Places, gate: Inspection, way: Way) -> Iterator[Shown]:
    """In a gate the engine takes 'unable' only where it stops work; else it refuses, and there is no way on."""
    if not way.goes.startswith(STOP):
        said = f'gate "{gate.id}", step "{way.step}": who is unable can neither pass nor stop. Give unable a stop'
        witness = _witness(ledger, gate, way, ())
        yield places.show(places.step(gate.id, way.step, UNABLE), said, "unable", witness)


def _passed(ledger: Ledger, places: Places, gate: Inspection, way: Way, rest: tuple[Way, ...]) -> Shown:
    why = _why(way)
    said = (
        f'gate "{gate.id}", step "{way.step}": "{way.answer}" passes the gate to {gate.gate} {_BECAUSE[why]}'
    )
    place = places.step(gate.id, way.step, way.answer)
    return places.show(place, f"{said}. {_MEND[why]}", "passed", _witness(ledger, gate, way, rest))


def _why(way: Way) -> str:
    """Why it isn't good: a retry used up, what the answer itself says, or that nothing is said of it."""
    chosen = way.chosen
    if way.spent or chosen is None:
        return "spent"
    return "bad" if chosen.bar or chosen.verdict in ("watch", "fail") or chosen.most else "unsaid"


def _witness(ledger: Ledger, gate: Inspection, way: Way, rest: tuple[Way, ...]) -> tuple[str, ...]:
    """The gate opened on a machine that has it, and a path through it by the way."""
    maps = ledger.routes.maps
    before = maps.path(gate.id, lambda w: w.goes == way.step, allowed=lambda w: w.step != way.step) or ()
    plan = Plan(ledger, next(iter(ledger.routes.machines(gate.applies)), {}))
    plan.go(gate.id, (*before, way, *rest))
    return tuple(plan.lines)
