"""Find a path that the engine takes to where a proof wants to go: gates passed, debts paid, bars lifted on the way.

The path is made by walking it: a line is only kept when the engine took it, but for a last one that it refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from wizard.engine import derive
from wizard.engine.safety import forbidden
from wizard.engine.state import State
from wizard.errors import CaseFailed, Refused
from wizard.flow.model import Flow, Inspection, fits
from wizard.proof.proofs.machines import START, Facts, Routes, machines, tell
from wizard.proof.proofs.owing import Ledger, Site
from wizard.proof.proofs.ways import Maps, Way

if TYPE_CHECKING:
    from wizard.proof.follow import Walker

DEEPEST = 5
"""How deep what is in the way may stand in each other's way."""


@dataclass(slots=True)
class Plan:
    """A path under way on one machine. ``keep`` names debts and bars that are left alone; ``lines`` is the path so far,
    ``refused`` the reason word that its last line was refused with.
    """

    ledger: Ledger
    facts: Facts
    keep: frozenset[str] = frozenset()
    lines: list[str] = field(default_factory=list)
    refused: str = ""
    walker: Walker = field(init=False)

    def __post_init__(self) -> None:
        from wizard.proof.follow import Walker  # Late: a sound flow needs no session.

        self.walker = Walker(self.flow, dict(self.facts))
        self.lines.extend(tell(self.facts))

    @property
    def flow(self) -> Flow:
        """The flow."""
        return self.ledger.flow

    @property
    def maps(self) -> Maps:
        """The ways of its inspections."""
        return self.routes.maps

    @property
    def routes(self) -> Routes:
        """The ways to its safety states."""
        return self.ledger.routes

    @property
    def state(self) -> State:
        """Where the path has come to."""
        return self.walker.session.state

    def go(self, inspection: str, path: tuple[Way, ...], deep: int = 0) -> bool:
        """Open an inspection, whatever has to be done before, and walk a path in it. False where the engine refuses."""
        for _ in range(DEEPEST):
            arrived = self._open(inspection, deep)
            if arrived is not None:
                break
        if not arrived:
            return False
        return all(self.act(line) for line in self.maps.spell(inspection, path))

    def act(self, line: str) -> bool:
        """Do one line and keep it. False when it is refused, or when it doesn't fit what is on screen."""
        self.refused = self._try(line)
        if self.refused != "unfit":
            self.lines.append(line)
        return not self.refused

    def _try(self, line: str) -> str:
        try:
            self.walker.act(line)
        except Refused as refusal:
            return refusal.reason
        except CaseFailed:
            return "unfit"
        return ""

    def _open(self, inspection: str, deep: int) -> bool | None:
        """Come to an inspection's first step: True when there, False when it can't be, None to try once more."""
        refused = self._try(f"open {inspection}")
        if refused:
            target = self.flow.inspections[inspection]
            return self._refused(f"open {inspection}", refused, target, target.steps[0].id, deep)
        self.lines.append(f"open {inspection}")
        while (run := self.state.run) is not None and run.inspection != inspection:
            gate = self.flow.inspections[run.inspection]
            way = next((w for w in self.maps.passage(gate.id) if w.step == run.at), None)
            line = f"{gate.id}.{run.at}: {way.answer if way else ''}"
            refused = self._try(line) if way else "unfit"
            if refused:
                step = run.at
                return self._refused(line, refused, gate, step, deep)
            self.lines.append(line)
        return self._ready(inspection, deep)

    def _ready(self, inspection: str, deep: int) -> bool | None:
        """True when the inspection is on screen; None once what forbids it, or the gate before it, was seen to."""
        run = self.state.run
        target = self.flow.inspections[inspection]
        if run is not None and not derive.barred(self.flow, self.state, inspection, run.at):
            return True
        if deep >= DEEPEST:
            return run is not None
        forbidden_at = [(target, run.at if run else target.steps[0].id)]
        if run is None:
            moves = self.routes.route(self.facts, derive.stance(self.state), target) or ()
            gates = [self.flow.inspections[m.gate] for m in moves if m.gate]
            forbidden_at += [(gate, gate.steps[0].id) for gate in gates]
        else:
            self.act("leave")
        cleared = [self._clear(where, step, deep + 1) for where, step in forbidden_at]
        if any(cleared):
            return None
        return self._again(inspection) if run is not None else False

    def _again(self, inspection: str) -> bool:
        """Come back to an inspection that was left for nothing, so that its own refusal is the end of the path."""
        return self.act(f"open {inspection}")

    def _refused(self, line: str, refused: str, where: Inspection, step: str, deep: int) -> bool | None:
        if refused == "barred" and deep < DEEPEST:
            if self.state.run is not None:
                self.act("leave")
            if self._clear(where, step, deep + 1):
                return None
        self.lines.append(line)
        self.refused = refused
        return False

    def _clear(self, where: Inspection, step_id: str, deep: int) -> bool:
        """Do what lifts the bars and pays the debts that forbid a step; False when nothing does."""
        step = where.step(step_id)
        done = False
        for name, sites in self._in_the_way():
            standing = ({name: 0}, {}) if name in self.flow.bars else ({}, {name: 0})
            if step is not None and name not in self.keep and forbidden(self.flow, where, step, *standing):
                done = any(self.do(site, deep) for site in sites) or done
        return done

    def _in_the_way(self) -> Iterator[tuple[str, list[Site]]]:
        for bar in derive.bars(self.state):
            yield bar, self.ledger.lifted.get(bar, [])
        for debt in derive.debts(self.state):
            yield debt, self.ledger.paid.get(debt, [])

    def do(self, site: Site, deep: int = 0) -> bool:
        """Do what a site says: answer there, open it, confirm and mend, stop and come again. False when it can't be."""
        if site.kind in ("answer", "opens"):
            inspection = self.flow.inspections[site.name]
            if not fits(inspection.applies, self.state.facts):
                return False
            first = inspection.steps[0].id
            goal = site.way or next(w for w in self.maps.of(site.name)[first] if w.chosen)
            path = self.maps.path(site.name, lambda w: w == goal, allowed=lambda w: not w.spent)
            return path is not None and self.go(site.name, path, deep)
        if site.kind == "remedy":
            return self._mend(site.name, deep)
        if site.kind == "stop":
            return self.act(f"stop {site.name}") and self.act("visit")
        return site.kind == "fact" or self.act(f"confirm {site.name}")

    def _mend(self, fault: str, deep: int) -> bool:
        place = Inspection("", "", (), states=self.flow.faults[fault].remedy.states)
        if self.state.facts.get(self.flow.kind) not in self.flow.faults[fault].share:
            return False
        moves = self.routes.route(self.facts, START, place) or ()
        gates = [m.gate for m in moves if m.gate]
        if not self.act(f"confirm {fault}") or (
            gates and not self.go(gates[-1], self.maps.passage(gates[-1]), deep)
        ):
            return False
        return self.act(f"mend {fault}: fitted")


def machine_of(flow: Flow, facts: Facts, *sites: Site) -> Facts:
    """The machine with facts added that let it have these sites; the same when there is no such machine."""
    applies = [flow.inspections[s.name].applies for s in sites if s.kind in ("answer", "opens")]
    told = dict(s.name.split(" = ") for s in sites if s.kind == "fact")
    named = {*facts, *told, *(f for one in applies for f in one)}
    for machine in machines(flow, named):
        same = all(machine.get(f) == v for f, v in (*facts.items(), *told.items()))
        if same and all(fits(one, machine) for one in applies):
            return machine
    return {**facts, **told}
