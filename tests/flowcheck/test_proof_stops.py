"""Every answer that stops work, given where its step is asked: what is found where one doesn't."""

from __future__ import annotations

import pytest

from tests.helpers.flows.flow_edits import answer, edited
from tests.helpers.jobs import GOOD, good
from wizard.engine import handling
from wizard.engine.messages import commands as cmd
from wizard.flow.diagrams.step_links import links
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.model import Flow
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.stop_cases import StopTried, stops
from wizard.flowcheck.checks import prove_played


def tried(flow: Flow, *names: str) -> dict[str, StopTried]:
    """What came of every stop of a flow, on the way of these cases of the small flow (all, if none is named)."""
    cases = [c for c in load_cases(GOOD, good()) if not names or c.id in names]
    found = stops(flow, [(c, play(good(), c).records) for c in cases])
    return {str(one.key): one for one in found}


def test_each_answer_that_stops_is_tried_once() -> None:
    """Those of steps, loops that are used up, verdicts, 'unable', and a fact's value."""
    found = tried(good())
    ways = {str(link.key) for i in good().inspections.values() for link in links(i) if link.stop}
    assert set(found) == ways | {"stacked:gas"}
    assert {"before.danger:gas", "power.try:lit:then", "dead.volts:fail", "dead.again:unable"} <= set(found)
    assert all(one.problem == "" and (one.tried or one.library) for one in found.values())


def test_what_no_case_comes_to_is_said_to_be_untried() -> None:
    """A case that stops before it comes to no other stops: a warning for the flow's own, none for the library's."""
    other = answer(good(), "motor.signs", "loose", stop="gas")
    cases = [c for c in load_cases(GOOD, good()) if c.id == "hot-plug"]
    found = {str(one.key): one for one in stops(other, [(c, play(good(), c).records) for c in cases])}
    assert found["before.danger:scorched"].tried and not found["dead.again:dark"].tried
    problem, ready = prove_played(other, (), None, found.values())
    assert {(p.severity, p.rule) for p in (problem, ready)} == {("warning", "stops")}
    assert 'motor.signs:loose should stop work as "gas": no case comes to the step' in problem.text


def test_an_answer_that_stops_for_another_reason_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """The reason is the flow's own: work that is stopped for another is no proof of it."""
    other = answer(good(), "before.danger", "scorched", stop="gas")
    monkeypatch.setattr("wizard.flowcheck.cases.stop_cases.links", lambda i: links(good().inspections[i.id]))
    assert tried(other)["before.danger:scorched"].problem == "work was stopped as gas."


def test_an_answer_that_lets_work_go_on_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the answer goes on to the next step, that is said: the job runs on or is closed."""
    other = answer(good(), "cut-off.earth", "bad", stop="", so={"earth": frozenset(("good",))})
    monkeypatch.setattr("wizard.flowcheck.cases.stop_cases.links", lambda i: links(good().inspections[i.id]))
    (problem,) = prove_played(good(), (), None, [tried(other)["cut-off.earth:bad"]])
    assert problem.severity == "error" and "work went on after it" in problem.text


def test_a_fact_that_does_not_stop_is_found() -> None:
    """The value is set on a machine that is asked for it."""
    gas = tried(edited(good()))["stacked:gas"]
    assert (gas.tried, gas.problem, gas.stop) == (True, "", "gas")


def test_what_is_let_through_after_a_stop_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """An engine that allowed a break after the stop would be named by the command."""
    monkeypatch.setitem(handling._HANDLERS, cmd.Pause, lambda _draft, _command: None)
    assert tried(good())["before.danger:scorched"].problem == "Pause() was let through after it."


def test_a_visit_that_closes_before_it_is_made_safe_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """An engine that closed a stopped visit at once would be told of at the first line."""
    monkeypatch.setattr("wizard.engine.handlers.visit_end.unclosed", lambda view: "")
    found = tried(good())["before.danger:scorched"]
    assert found.problem == "the visit was closed before line 1 of the make-safe list was done."
