"""'Unable' leads to an end from everywhere."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import END
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.owing import Ledger
from wizard.proof.proofs.plan import Plan
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import STOP, UNABLE, Way


def unable(ledger: Ledger, places: Places) -> Iterator[Shown]:
    """From each step, who is unable at it and at all that follows comes to an end of the inspection, or stops work."""
    routes = ledger.routes
    for inspection in routes.maps.flow.inspections.values():
        seen: set[str] = set()
        for step in inspection.steps:
            loop = [] if step.id in seen else _round(routes, inspection.id, step.id)
            if loop and not seen & {w.step for w in loop}:
                seen |= {w.step for w in loop}
                yield _endless(ledger, places, inspection.id, loop)


def _round(routes: Routes, inspection: str, step: str) -> list[Way]:
    """The ways of being unable again and again that lead back to where one was; empty when an end comes."""
    ways = routes.maps.of(inspection)
    gone: list[Way] = []
    here = step
    while here in ways:
        if any(w.step == here for w in gone):
            return gone[next(n for n, w in enumerate(gone) if w.step == here) :]
        gone.append(next(w for w in ways[here] if w.answer == UNABLE))
        here = gone[-1].goes
    assert here == END or here.startswith(STOP)
    return []


def _endless(ledger: Ledger, places: Places, inspection: str, loop: list[Way]) -> Shown:
    maps = ledger.routes.maps
    target = maps.flow.inspections[inspection]
    first = loop[0].step
    before = maps.path(inspection, lambda w: w.goes == first) if first != target.steps[0].id else ()
    plan = Plan(ledger, next(iter(ledger.routes.machines(target.applies)), {}))
    plan.go(inspection, (*(before or ()), *loop))
    said = f'step "{first}": who is unable goes round for ever: {" > ".join(w.step for w in loop)} > {first}'
    return places.show(places.step(inspection, first, UNABLE), said, "unable", tuple(plan.lines))
