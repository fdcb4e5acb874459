"""Every fault can be raised and ruled out, has a case, and which ones nothing tells apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.helpers.flows.flow_edits import answer, edited, entry, inspection, step
from tests.helpers.jobs import GOOD, Job
from tests.helpers.jobs import good as load_good
from wizard.domain.references import AnswerRef, StepRef
from wizard.domain.vocabulary import JobOutcome
from wizard.engine.guidance.session_ranking import ranking
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.model import Flow
from wizard.flowcheck.checks import coverage, prove, prove_played
from wizard.flowcheck.checks.fault_evidence_reach import given_on, without_case
from wizard.flowcheck.checks.played_cases import run
from wizard.flowcheck.model.counterexample import Counterexample, Places


@pytest.fixture
def good() -> Flow:
    """The small whole flow."""
    return load_good()


def of(flow: Flow, rule: str) -> list[Counterexample]:
    """The problems of a rule."""
    return [p for p in prove(flow).problems if p.rule == rule]


def chance(flow: Flow, fault: str, *answers: str | tuple[str, ...]) -> float:
    """The probability of a fault on a top loader after the quick check and the motor were answered so."""
    job = Job({"kind": "top-loader"}, flow)
    job.through("quick", *answers[:1])
    job.through("motor", *answers[1:])
    return next(r.probability for r in ranking(job.view) if r.fault == fault)


def test_what_can_be_given(good: Flow) -> None:
    """On a top loader the dampers' findings can't be given, the bolts' can, either way."""
    assert "bounces-on" not in given_on(good, "top-loader").findings
    given = given_on(good, "front-loader")
    assert given.up["bounces-on"] == given.down["bounces-on"] == StepRef("dampers", "bounce")
    assert given.down["plug-loose"] == StepRef("motor", "signs")


def test_fault_that_nothing_raises(good: Flow) -> None:
    """With no weight on any finding a fault's probability is never raised by what is found."""
    broken = entry(good, "findings", "plug-loose", weights={})
    broken = entry(
        broken, "findings", "walks", weights={"dampers-worn": 0.5, "transit-in": 0.9, "normal": 0.05}
    )
    found = of(broken, "raise")
    assert found and 'fault "wiring"' in found[0].text and found[0].file == "faults.toml"
    before = chance(broken, "wiring", "no", ())
    assert chance(broken, "wiring", "no", ("loose", "green")) <= before + 1e-12
    assert chance(good, "wiring", "no", ("loose", "green")) > chance(good, "wiring", "no", ())


def test_fault_of_a_kind_whose_steps_are_for_others(good: Flow) -> None:
    """A fault that a kind can have, with findings that only another kind is asked for."""
    broken = inspection(good, "quick", applies={"kind": ("front-loader",)})
    broken = entry(broken, "findings", "walks", weights={"dampers-worn": 0.5})
    found = [p for p in of(broken, "raise") if "transit-in" in p.text]
    assert [p.names[0] for p in found] == ["top-loader"]


def test_fault_that_nothing_rules_out(good: Flow) -> None:
    """A fault that answers only ever raise is never cleared."""
    broken = answer(good, "quick.bolts", "no", rules_out={})
    broken = entry(broken, "findings", "walks", weights={"dampers-worn": 0.5, "wiring": 0.1, "normal": 0.05})
    found = of(broken, "rule-out")
    assert found and all('fault "transit-in": no answer of a ' in p.text for p in found)
    assert all(" rules it out. " in p.text for p in found)
    assert chance(good, "transit-in", "no") < chance(broken, "transit-in", "no")


def test_evidence_of_every_band_rules_nothing_out(good: Flow) -> None:
    """A finding that all bands of a limit speak for is given whatever is read."""
    every = tuple({b.id for li in good.limits["damper-drag"] for b in li.bands})
    broken = step(good, "dampers.pull", evidence={"pull-weak": every})
    assert "pull-weak" in given_on(good, "front-loader").down
    assert "pull-weak" not in given_on(broken, "front-loader").down


def test_pair_that_nothing_tells_apart(good: Flow) -> None:
    """Two faults with the same weights have the same probability for the same prior, whatever is answered."""
    twin = replace(good.faults["wiring"], id="twin", says="Its twin")
    weights = {
        "walks": {"dampers-worn": 0.5, "wiring": 0.1, "twin": 0.1},
        "plug-loose": {"wiring": 0.8, "twin": 0.8},
    }
    broken = edited(good, faults={**good.faults, "twin": twin})
    for finding, of_fault in weights.items():
        broken = entry(broken, "findings", finding, weights=of_fault)
    (found,) = of(broken, "alike")
    assert found.names[:2] == ("wiring", "twin") and found.severity == "warning"
    for told in (("no", ()), ("yes", "loose"), ("no", "green")):
        assert np.isclose(chance(broken, "wiring", *told), chance(broken, "twin", *told))


def test_pair_told_apart_on_one_kind_only(good: Flow) -> None:
    """What tells a pair apart on one kind may not be there on another, which is then named."""
    twin = replace(good.faults["wiring"], id="twin", says="Its twin")
    broken = edited(good, faults={**good.faults, "twin": twin})
    broken = entry(broken, "findings", "walks", weights={"dampers-worn": 0.5})
    broken = entry(broken, "findings", "plug-loose", weights={"wiring": 0.8, "twin": 0.8})
    broken = entry(broken, "findings", "pull-weak", weights={"dampers-worn": 0.9, "twin": 0.3})
    (found,) = of(broken, "alike")
    assert "on top-loader" in found.text and "front-loader" not in found.text


def test_fault_without_a_case(good: Flow) -> None:
    """Each fault that no case confirms is named; those of a case are not."""
    cases = load_cases(GOOD, good)
    named = {p.names[0] for p in without_case(good, Places(), cases)}
    assert named == {"transit-in", "wiring", "normal"}
    assert {p.names[0] for p in without_case(good, Places(), ())} == set(good.faults)


def test_case_that_ends_otherwise(good: Flow) -> None:
    """A case whose job ends otherwise than it says is an error, with the path it took."""
    cases = load_cases(GOOD, good)
    worn = next(c for c in cases if c.id == "worn")
    broken = replace(worn, expect=replace(worn.expect, outcome=JobOutcome.DECLINED))
    (found,) = prove_played(good, run(good, (broken,)))
    assert (found.rule, found.file) == ("played", "cases/worn.toml")
    assert "outcome is proved, not declined" in found.text and "dampers.bounce: swings" in found.shown


def test_case_whose_proof_cant_be_had(good: Flow) -> None:
    """Where nothing makes the machine ready for the proving spin, the machine is left waiting and the case says
    so.
    """
    cases = [c for c in load_cases(GOOD, good) if c.id == "worn"]
    broken = inspection(good, "ready", applies={"kind": ("top-loader",)})
    (found,) = prove_played(broken, run(broken, cases))
    assert "outcome is not-proved, not proved" in found.text
    assert found.shown[-1].startswith("leave-waiting.")
    assert prove_played(good, run(good, cases)) == ()


def test_coverage(good: Flow) -> None:
    """What no case goes through is listed: steps, and answers of steps that some case does go through."""
    told = coverage(good, run(good, load_cases(GOOD, good)))
    bounce = StepRef("dampers", "bounce")
    assert bounce in told.steps and AnswerRef(bounce, "swings") in told.answers
    assert {AnswerRef(bounce, "settles"), AnswerRef(bounce, "lingers")} <= set(told.no_answer)
    assert not set(told.steps) & set(told.no_step)
    nothing = coverage(good, ())
    assert set(nothing.no_step) == {*told.steps, *told.no_step}
    assert not [s for s in nothing.no_step if s.inspection == "power-dryer"], (
        "no machine of this flow has a dryer"
    )
