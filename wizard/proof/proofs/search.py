"""Every path over steps, safety states and interruptions, through ``decide`` itself, and what really is so beside it.

At each place every command is tried: every answer, unable, leave, undo, a break, a restart, a lapse, a stop, another
visit, a correction of a gate, every inspection opened. Two paths are one place when the engine and the truth can't tell
them apart from there on. Opening from a screen is leaving it and opening from the job map, so it is tried from there.
Places that differ only in what undo would take back differ in nothing once something else was answered, so from a
second such place only what leaves the last answer the last one is tried.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass, field, replace

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.engine.corrections import last_entry
from wizard.engine.decide import Decision, decide, lapse, restart
from wizard.engine.draft import Moment, Rules
from wizard.engine.events import Began, Recorded, VisitBegan
from wizard.engine.fold import fold_all
from wizard.engine.safety import Stance
from wizard.engine.state import Given, State
from wizard.errors import Refused
from wizard.flow.model import STATES, Flow
from wizard.proof.proofs.shape import HALT, VOID
from wizard.proof.proofs.truth import Truth

NOW = Moment()
LATE = Moment(idle=1e9)
WHY = "Searching."
MOST = 50_000
"""More places than any shape has; past it the search gives up with an error rather than go on for hours."""

Act = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Harm:
    """A path that ends in harm: an answer taken where it may not be (unsafe), or nothing that may be done (stuck)."""

    kind: str
    inspection: str
    path: tuple[Act, ...]
    says: str


@dataclass(slots=True)
class _Node:
    """A place: ``key`` is what the rest of a path depends on."""

    state: State
    truth: Truth
    path: tuple[Act, ...] = ()
    key: tuple[Hashable, ...] = field(init=False)

    def __post_init__(self) -> None:
        state = self.state
        runs = [run for r in state.stack if (run := state.find_run(r)) is not None]
        frames = tuple((run.inspection, run.at) for run in runs)
        self.key = (state.job, state.safety, state.restored, frames, self.truth, _undoable(state))


@dataclass(slots=True)
class Search:
    """A search of one flow (a shape). ``run`` it once; then ``harms`` and ``stances`` hold what was found."""

    flow: Flow
    harms: list[Harm] = field(default_factory=list)
    stances: set[Stance] = field(default_factory=set)
    places: int = 0
    rules: Rules = field(init=False)
    _seen: set[Hashable] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.rules = Rules.of(self.flow)

    def run(self) -> None:
        """Search all there is."""
        began = (Recorded(1, "", 0.0, Began()), Recorded(2, "", 0.0, VisitBegan(number=1)))
        queue = [_Node(fold_all(began), Truth())]
        self._seen.add(queue[0].key)
        for node in queue:
            self.places += 1
            self.stances.add(derive.stance(node.state))
            for act in self._acts_at(node):
                after = self._try(node, act)
                if after is not None and after.key not in self._seen:
                    self._seen.add(after.key)
                    queue.append(after)
            if self.places > MOST:
                raise RuntimeError(f"The search of {self.flow.id} found no end.")

    def _acts_at(self, node: _Node) -> Iterator[Act]:
        here = node.key[:-1]
        again = here in self._seen
        self._seen.add(here)
        return (act for act in self.acts(node.state) if not again or act[0] in _LEAVE_LAST)

    def acts(self, state: State) -> Iterator[Act]:
        """Everything that may be tried in a state."""
        if state.job == "stopped":
            yield ("visit",)
            return
        yield from (("break",), ("restart",), ("lapse",), ("stop",))
        if last_entry(state) is not None:
            yield ("undo",)  # Tried where the engine should refuse it, too.
        if gate := self._correctable(state):
            yield ("correct", str(gate))
        run = state.run
        if run is None:
            yield from (("open", i) for i in self.flow.inspections)
            return
        yield ("leave",)
        if not derive.ready(self.flow, state):
            yield ("go on",)
        step = self.flow.inspections[run.inspection].step(run.at)
        assert step is not None
        for answer in step.answers:
            yield ("answer", run.inspection, run.at, answer.id)
        yield ("answer", run.inspection, run.at, "unable")

    def _correctable(self, state: State) -> int:
        given = (g for g in state.given if not g.aside and self.flow.inspections[g.inspection].gate)
        live = (g.seq for g in given if (run := state.find_run(g.run)) and run.how != "void")
        return max(live, default=0)

    def decided(self, state: State, act: Act) -> Decision:
        """What the engine makes of an act."""
        if act[0] == "restart":
            return restart(self.rules, state, NOW)
        if act[0] == "lapse":
            return lapse(self.rules, state, LATE)
        return decide(self.rules, state, self._command(state, act), NOW)

    def _command(self, state: State, act: Act) -> cmd.Command:
        match act[0]:
            case "answer":
                run = state.run
                assert run is not None
                if act[3] == "unable":
                    return cmd.Unable(run.id, act[2], WHY)
                return cmd.Answer(run.id, act[2], act[3])
            case "correct":
                seq = int(act[1])
                return cmd.Correct(seq, next(g.answer for g in state.given if g.seq == seq), WHY)
            case "open":
                return cmd.Open(act[1])
        return _PLAIN[act[0]]

    def _try(self, node: _Node, act: Act) -> _Node | None:
        """The node after an act, or None; what goes wrong is noted."""
        said = self.decided(node.state, act)
        path = (*node.path, act)
        if said.refused is not None:
            self._refused(node, act, path, said.refused)
            return None
        state = said.after
        assert state is not None
        if act[0] == "answer" and not node.truth.allows(self.flow.inspections[act[1]]):
            says = f"it is answered while the machine is {node.truth.so}"
            self.harms.append(Harm("unsafe", act[1], path, says))
            return None
        truth = self._truth(node, act, state)
        if state.safety in STATES and state.safety not in ("covered", truth.so):
            where = act[1] if act[0] == "answer" else ""
            says = f"the machine counts as {state.safety}, and nothing made it so"
            self.harms.append(Harm("unsafe", where, path, says))
            return None
        return _Node(state, truth, path)

    def _refused(self, node: _Node, act: Act, path: tuple[Act, ...], refusal: Refused) -> None:
        """Note a refusal that leaves no way on: no gate leads there, or a gate that can't be passed."""
        good = act[0] == "answer" and act[3] != "unable" and derive.ready(self.flow, node.state)
        if good or act[0] in ("go on", "open"):
            run = node.state.run
            where = act[1] if act[0] != "go on" else run.inspection if run else ""
            self.harms.append(Harm("stuck", where, path, str(refusal)))

    def _truth(self, node: _Node, act: Act, state: State) -> Truth:
        truth = node.truth
        if act[0] == "answer":
            truth = self._answered(truth, act)
        elif act[0] == "undo":
            last = last_entry(node.state)
            taken_back = isinstance(last, Given) and not last.answer.startswith(VOID)
            if last and taken_back:
                truth = truth.undone(last.inspection, self.flow.inspections[last.inspection].gate)
        elif act[0] in ("leave", "open"):
            truth = truth.off_screen()
        elif act[0] not in ("go on",):
            truth = truth.interrupted()
        if state.job == "stopped":
            truth = truth.interrupted()
        return _weaker(truth, state)

    def _answered(self, truth: Truth, act: Act) -> Truth:
        inspection = self.flow.inspections[act[1]]
        step = inspection.step(act[2])
        answer = step.answer(act[3]) if step else None
        if answer is None:
            return truth.interrupted() if inspection.gate else truth
        truth = truth.voided(answer.voids)
        well = inspection.gate and not act[3].startswith(VOID)
        return truth.answered(inspection, act[2]) if well else truth


_LEAVE_LAST = ("undo", "leave", "open", "go on", "break", "restart", "lapse")

_PLAIN: dict[str, cmd.Command] = {
    "break": cmd.Pause(),
    "stop": cmd.StopWork(HALT.id),
    "visit": cmd.BeginVisit(),
    "undo": cmd.Undo(),
    "leave": cmd.Leave(),
    "go on": cmd.GoOn(),
}


def _weaker(truth: Truth, state: State) -> Truth:
    """The truth, once the engine has given something up itself: that is always safe, so it is believed."""
    if state.safety == "covered" and truth.so != "none":
        truth = replace(truth, so="none")
    if state.safety == "isolated" and truth.so == "proved-dead":
        truth = replace(truth, so="isolated")
    if not truth.under_way:
        return truth
    on_screen = {run.inspection for r in state.stack if (run := state.find_run(r)) is not None}
    return replace(truth, under_way=tuple(x for x in truth.under_way if x[0] in on_screen))


def _undoable(state: State) -> tuple[str, str, bool] | None:
    """The answer that undo would take back, and whether its run is on screen; None when nothing may be."""
    last = last_entry(state)
    binding = max((g.seq for g in state.gates), default=0)
    run = state.find_run(last.run) if last else None
    if last is None or run is None or last.seq < binding or run.how == "void":
        return None
    return last.inspection, last.step, run.id in state.stack
