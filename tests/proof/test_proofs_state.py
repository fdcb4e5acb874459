"""No path reaches a step whose safety state does not hold: broken gates, states without a way, and a broken engine."""

from __future__ import annotations

import pytest

from tests.engine.jobs import good as load_good
from tests.proof.edits import answer, every_answer, inspection, step
from wizard.engine import closing, corrections, decide, draft, inspecting
from wizard.engine.draft import Rules
from wizard.errors import Refused
from wizard.flow.load import load
from wizard.flow.model import Flow, Unable
from wizard.flow.shipped import shipped
from wizard.proof.follow import follow
from wizard.proof.proofs import Shown, prove
from wizard.proof.proofs.machines import Routes
from wizard.proof.proofs.search import Search
from wizard.proof.proofs.shape import shapes
from wizard.proof.proofs.ways import Maps


@pytest.fixture
def good() -> Flow:
    """The small whole flow."""
    return load_good()


def wrong(flow: Flow) -> tuple[Shown, ...]:
    """The errors that the proofs find."""
    return tuple(p for p in prove(flow) if p.severity == "error")


def the(flow: Flow, rule: str) -> Shown:
    """The first error of this rule, of which there must be one."""
    return next(p for p in wrong(flow) if p.rule == rule)


def search(flow: Flow) -> Search:
    """The only shape of a flow, searched."""
    (small,) = shapes(Routes(Maps(Rules.of(flow))))
    found = Search(small.flow)
    found.run()
    return found


def test_good(good: Flow) -> None:
    """The good flow has no errors."""
    assert wrong(good) == ()


def test_shipped() -> None:
    """The shipped flow of the washer that shakes is proved: no errors, no warnings."""
    assert prove(load(shipped()["washer-shake"])) == ()


def test_spent_loop_passes(good: Flow) -> None:
    """A retry that leads on once it is used up lets a live machine count as isolated."""
    found = the(answer(good, "isolate.press", "yes", then="taps"), "passed")
    end = follow(answer(good, "isolate.press", "yes", then="taps"), found.witness)
    assert end.refused == "" and end.state.safety == "isolated"
    assert [g.answer for g in end.state.given if g.step == "press"] == ["yes", "yes", "yes"]
    assert found.file == "inspections/isolate.toml"


def test_unusual_answer_passes(good: Flow) -> None:
    """A scorched plug that no longer stops work is passed by."""
    broken = answer(good, "isolate.look", "no", stop="", next="plug")
    end = follow(broken, the(broken, "passed").witness)
    assert end.state.safety == "isolated"
    assert next(g.answer for g in end.state.given if g.step == "look") == "no"


def test_bad_verdict_passes(good: Flow) -> None:
    """A bus that is still charged counts as proved dead."""
    broken = answer(good, "dead.bus", "fail", next="again", most=0, then="")
    end = follow(broken, the(broken, "passed").witness)
    assert end.state.safety == "proved-dead"
    assert next(g.verdict for g in end.state.given if g.step == "bus") == "fail"


def test_unable_in_a_gate(good: Flow) -> None:
    """Who is unable in a gate, and can't stop there, is refused by the engine: there is no way on."""
    broken = step(good, "isolate.plug", unable=Unable(next="press"))
    found = the(broken, "unable")
    end = follow(broken, found.witness)
    assert (end.refused, end.at) == ("gate", len(found.witness) - 1)


@pytest.mark.parametrize("gate", ["isolate", "dead", "taps-on", "restore"])
def test_no_gate_is_passed_by_unable(good: Flow, gate: str) -> None:
    """The engine stops work or refuses when a step of a gate is said to be undoable, whatever the flow says."""
    for one in good.inspections[gate].steps:
        for unable in (one.unable, Unable(next="end")):
            broken = step(good, f"{gate}.{one.id}", unable=unable)
            maps = Maps(Rules.of(broken))
            routes = Routes(maps)
            path = (
                maps.path(gate, lambda w, s=one.id: w.goes == s)
                if one != good.inspections[gate].steps[0]
                else ()
            )
            lines = (*routes.opening({}, broken.inspections[gate]), *maps.spell(gate, path or ()))
            machine = ("fact kind = front-loader", "fact dampers = 3")
            end = follow(broken, (*machine, *lines, f"{gate}.{one.id}: unable"))
            assert end.refused == "gate" if not unable.stop else end.state.job == "stopped"
            assert end.state.safety != good.inspections[gate].gate


def test_gate_of_other_machines(good: Flow) -> None:
    """Work that needs a state to which this machine has no gate can't be opened."""
    broken = inspection(good, "dead", applies={"kind": ("front-loader",)})
    found = the(broken, "way")
    assert found.witness[0] == "fact kind = top-loader"
    end = follow(broken, found.witness)
    assert (end.refused, end.at) == ("gate", len(found.witness) - 1)


def test_remedy_without_a_gate(good: Flow) -> None:
    """A repair in a state that nothing leads to can't be recorded as done."""
    broken = inspection(good, "dead", applies={"kind": ("front-loader",)})
    found = next(p for p in wrong(broken) if p.file == "faults.toml")
    assert 'fault "wiring"' in found.text
    assert follow(broken, found.witness).refused == "gate"


def test_gate_that_voids_itself(good: Flow) -> None:
    """A gate whose last answer ends the state it builds on can't be passed: it begins anew, for ever."""
    broken = every_answer(good, "dead.again", voids=("isolated",))
    found = the(broken, "way")
    assert (
        'gate "dead", step "again", answer "yes": it leads on to proved-dead and ends isolated' in found.text
    )
    end = follow(broken, found.witness)
    assert end.refused == "" and end.state.safety == "covered"
    assert (end.state.given[-1].step, end.state.find_run(end.state.given[-1].run).how) == ("again", "void")


def test_gate_that_voids_what_it_establishes(good: Flow) -> None:
    """The answer says in one breath that the machine is isolated and that it isn't."""
    broken = answer(good, "isolate.plug", "done", voids=("isolated",))
    assert "ends isolated" in the(broken, "way").text


def test_gate_that_loses_its_state_and_goes_back(good: Flow) -> None:
    """An answer of a gate that isn't good, goes back and ends what isn't so any more, is sound."""
    assert wrong(every_answer(good, "dead.bus", voids=())) == ()
    assert wrong(answer(good, "dead.bus", "fail", voids=("isolated",))) == ()
    assert wrong(answer(good, "isolate.press", "yes", voids=("isolated",))) == ()


@pytest.mark.parametrize(
    ("where", "state"),
    [
        ("dampers.bounce", "isolated"),
        ("hoses.tissue", "wet"),
        ("spin.run", "proving"),
        ("motor.signs", "isolated"),
    ],
)
def test_every_state_may_be_voided(good: Flow, where: str, state: str) -> None:
    """Work that ends the state it is done in, or one that this stands on, is sound: its gate comes again."""
    assert wrong(every_answer(good, where, voids=(state,))) == ()


def test_engine_that_has_no_move_for_a_void(good: Flow, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were the answer refused, the problem would stand at it, with a path that opens its inspection."""

    def refuse(_draft: object, _voids: object) -> None:
        if tuple(_voids):
            raise Refused("gate", "There is no such move.")

    monkeypatch.setattr(inspecting, "end_states", refuse)
    broken = answer(good, "dampers.bounce", "swings", voids=("isolated",))
    found = next(p for p in wrong(broken) if "dampers" in p.text)
    assert 'inspection "dampers", step "bounce", answer "swings": no way on' in found.text
    assert found.file == "inspections/dampers.toml"
    assert found.witness[-1] == "dampers.bounce: swings"
    end = follow(broken, found.witness)
    assert (end.refused, end.at) == ("gate", len(found.witness) - 1)


@pytest.mark.parametrize(("where", "wanted"), [("dampers.bounce", "swings"), ("motor.signs", "green")])
def test_engine_that_keeps_a_voided_state(
    good: Flow, monkeypatch: pytest.MonkeyPatch, where: str, wanted: str
) -> None:
    """Were isolation to stand after an answer that ends it, isolated or proved dead, the search would say so."""
    monkeypatch.setattr(inspecting, "end_states", lambda _draft, _voids: None)
    harms = search(answer(good, where, wanted, voids=("isolated",))).harms
    assert any(h.kind == "unsafe" and h.path[-1][3].startswith("void-") for h in harms)


def test_search_is_whole(good: Flow) -> None:
    """The search of the good flow meets every safety state, and no more stances than the fold can make."""
    found = search(good)
    assert found.harms == []
    assert {(s.safety, s.restored) for s in found.stances} == {
        ("covered", True), ("covered", False), ("isolated", False), ("proved-dead", False), ("wet", False),
        ("proving", True), ("stopped", True), ("stopped", False),
    }  # fmt: skip
    assert found.places > 100


@pytest.mark.parametrize("module", [closing, decide])
def test_engine_that_keeps_a_gate_over_an_interruption(
    good: Flow, monkeypatch: pytest.MonkeyPatch, module: object
) -> None:
    """Were a break, or a restart and a lapse, to leave the safety state standing, the search would say so."""
    monkeypatch.setattr(module, "void", lambda _draft, _why: None)
    harms = search(good).harms
    assert any(h.kind == "unsafe" and h.path[-1][0] in ("break", "restart", "lapse") for h in harms)


def test_engine_that_lets_any_step_be_answered(good: Flow, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were the safety state not looked at when a step is answered, the search would find a step answered without it."""
    monkeypatch.setattr(draft, "holds", lambda _inspection, _stance: True)
    monkeypatch.setattr(inspecting, "holds", lambda _inspection, _stance: True)
    harms = [h for h in search(good).harms if h.kind == "unsafe"]
    assert any(h.path[-1][0] == "answer" for h in harms)


def test_engine_that_takes_back_a_gates_answer_behind_it(good: Flow, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were undo not bound by a change of the safety state, the search would find a state that nothing made so."""
    monkeypatch.setattr(corrections, "max", lambda *_all, **_more: 0, raising=False)
    harms = [h for h in search(good).harms if h.kind == "unsafe"]
    assert any(h.path[-1] == ("undo",) for h in harms)


def test_engine_that_undoes_across_a_gate(good: Flow, monkeypatch: pytest.MonkeyPatch) -> None:
    """Were a gate left in the middle to be taken up again there, the search would find it passed in pieces."""
    real = draft.clear_screen

    def careless(d: draft.Draft) -> None:
        for run in d.state.stack:
            d.emit(inspecting.Left(run=run, how="left"))

    def resumable(d: draft.Draft, found: object, phase: str) -> object:
        runs = inspecting.derive.runs_of(d.state, found.id, phase)
        return runs[-1] if runs and runs[-1].how != "done" and runs[-1].at else None

    assert real is not careless
    monkeypatch.setattr(inspecting, "clear_screen", careless)
    monkeypatch.setattr(inspecting, "resumable", resumable)
    assert any(h.kind == "unsafe" for h in search(good).harms)


def test_open_from_a_screen_is_leave_and_open(good: Flow) -> None:
    """Opening another inspection from a screen comes to the same place as leaving first; what is there stays."""
    for first in good.inspections:
        for second in good.inspections:
            lines = ("fact kind = front-loader", f"open {first}")
            direct = follow(good, (*lines, f"open {second}"))
            by_map = follow(good, (*lines, "leave", f"open {second}"))
            on_top = follow(good, lines).state.run
            assert on_top is not None
            if on_top.inspection != second:
                assert _place(direct.state) == _place(by_map.state)


def _place(state: object) -> object:
    runs = [state.find_run(r) for r in state.stack]
    return [(r.inspection, r.at) for r in runs], state.safety, state.restored


def test_opening_a_gate_from_proved_dead(good: Flow) -> None:
    """From 'proved dead' another gate is opened through 'isolated', and can be passed."""
    maps = Maps(Rules.of(good))
    for gate in ("restore", "taps-on", "dead"):
        lines = (
            *Routes(maps).opening({}, good.inspections["motor"]),
            "leave",
            f"open {gate}",
            *maps.passing(gate),
        )
        end = follow(good, ("fact kind = front-loader", *lines))
        assert end.refused == "" and end.state.safety == good.inspections[gate].gate
