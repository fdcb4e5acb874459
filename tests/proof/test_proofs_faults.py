"""Every fault can be raised and ruled out, has a case, and which ones nothing tells apart."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.engine.jobs import GOOD, Job
from tests.engine.jobs import good as load_good
from tests.proof.edits import answer, edited, entry, inspection, step
from wizard.engine.draft import Rules
from wizard.engine.ranking import ranking
from wizard.flow.case_files import load_cases
from wizard.flow.model import Flow, Unable
from wizard.proof.follow import follow
from wizard.proof.proofs import coverage, prove, prove_played
from wizard.proof.proofs.faults import given_on, without_case
from wizard.proof.proofs.machines import Routes, tell
from wizard.proof.proofs.played import run
from wizard.proof.proofs.shown import Places, Shown
from wizard.proof.proofs.ways import STOP, Maps


@pytest.fixture
def good() -> Flow:
    """The small whole flow."""
    return load_good()


def of(flow: Flow, rule: str) -> list[Shown]:
    """The problems of a rule."""
    return [p for p in prove(flow) if p.rule == rule]


def chance(flow: Flow, fault: str, *answers: str) -> float:
    """The probability of a fault on a top loader after the quick check and the motor were answered so."""
    job = Job({"kind": "top-loader"}, flow)
    job.through("quick", *answers[:1])
    job.through("motor", *answers[1:])
    return next(r.probability for r in ranking(flow, job.state) if r.fault == fault)


def test_what_can_be_given(good: Flow) -> None:
    """On a top loader the dampers' findings can't be given, the bolts' can, either way."""
    assert "bounces-on" not in given_on(good, "top-loader").findings
    given = given_on(good, "front-loader")
    assert given.up["bounces-on"] == given.down["bounces-on"] == "dampers.bounce"
    assert given.down["plug-loose"] == "motor.signs"


def test_fault_that_nothing_raises(good: Flow) -> None:
    """With no weight on any finding a fault's probability is never raised by what is found."""
    broken = entry(good, "findings", "plug-loose", weights={})
    broken = entry(
        broken, "findings", "walks", weights={"dampers-worn": 0.5, "transit-in": 0.9, "normal": 0.05}
    )
    found = of(broken, "raise")
    assert found and 'fault "wiring"' in found[0].text and found[0].file == "faults.toml"
    before = chance(broken, "wiring", "no", "none")
    assert chance(broken, "wiring", "no", "loose+green") <= before + 1e-12
    assert chance(good, "wiring", "no", "loose+green") > chance(good, "wiring", "no", "none")


def test_fault_of_a_kind_whose_steps_are_for_others(good: Flow) -> None:
    """A fault that a kind can have, with findings that only another kind is asked for."""
    broken = inspection(good, "quick", applies={"kind": ("front-loader",)})
    broken = entry(broken, "findings", "walks", weights={"dampers-worn": 0.5})
    found = [p for p in of(broken, "raise") if "transit-in" in p.text]
    assert [p.witness[0] for p in found] == ["top-loader"]


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
    assert found.witness[:2] == ("wiring", "twin") and found.severity == "warning"
    for told in (("no", "none"), ("yes", "loose"), ("no", "green")):
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
    named = {p.witness[0] for p in without_case(good, Places(), cases)}
    assert named == {"transit-in", "wiring", "normal"}
    assert {p.witness[0] for p in without_case(good, Places(), ())} == set(good.faults)


def test_case_that_ends_otherwise(good: Flow) -> None:
    """A case whose job ends otherwise than it says is an error, with the path it took."""
    cases = load_cases(GOOD, good)
    worn = next(c for c in cases if c.id == "worn")
    broken = replace(worn, expect=replace(worn.expect, outcome="declined"))
    (found,) = prove_played(good, run(good, (broken,)))
    assert (found.rule, found.file) == ("played", "cases/worn.toml")
    assert "outcome is proved, not declined" in found.text and "dampers.bounce: swings" in found.witness


def test_case_that_gets_stuck(good: Flow) -> None:
    """A case that can't go on says where."""
    cases = [c for c in load_cases(GOOD, good) if c.id == "worn"]
    broken = inspection(good, "taps-on", applies={"kind": ("top-loader",)})
    (found,) = prove_played(broken, run(broken, cases))
    assert "can't go on" in found.text
    assert prove_played(good, run(good, cases)) == ()


def test_coverage(good: Flow) -> None:
    """What no case goes through is listed: steps, and answers of steps that some case does go through."""
    told = coverage(good, run(good, load_cases(GOOD, good)))
    assert "dampers.bounce" in told.steps and "dampers.bounce: swings" in told.answers
    assert {"dampers.bounce: settles", "dampers.bounce: lingers"} <= set(told.no_answer)
    assert not set(told.steps) & set(told.no_step)
    nothing = coverage(good, ())
    assert len(nothing.no_step) == sum(len(i.steps) for i in good.inspections.values())


def test_unable_that_goes_round(good: Flow) -> None:
    """Two steps whose 'unable' lead to each other hold whoever is unable at both for ever."""
    broken = step(good, "dampers.pull", unable=Unable(next="spread"))
    broken = step(broken, "dampers.spread", unable=Unable(next="pull"))
    (found,) = of(broken, "unable")
    end = follow(broken, found.witness)
    assert end.refused == "" and end.state.run is not None
    assert found.witness[-1].endswith(": unable") and end.state.run.at == found.text.split('"')[1]


def test_unable_at_itself(good: Flow) -> None:
    """A step whose 'unable' leads back to it is named at once."""
    broken = step(good, "quick.bolts", unable=Unable(next="bolts"))
    (found,) = of(broken, "unable")
    end = follow(broken, (*found.witness, *found.witness[-1:] * 3))
    assert end.state.run is not None and end.state.run.at == "bolts"


def test_two_limits_at_once(good: Flow) -> None:
    """A machine that two variants of a limit fit is named; so is one that none fits."""
    both = tuple(replace(li, applies={}) for li in good.limits["damper-drag"])
    (found,) = of(edited(good, limits={**good.limits, "damper-drag": both}), "limit")
    assert "2 at once fits" in found.text
    none = good.limits["damper-drag"][:1]
    (found,) = of(edited(good, limits={**good.limits, "damper-drag": none}), "limit")
    assert "none fits" in found.text and "fact dampers = 2" in found.witness


def test_every_answer_of_the_flow_is_a_way_of_the_engine(good: Flow) -> None:
    """Each way that the proofs count on is walked through the engine and comes where they say."""
    maps = Maps(Rules.of(good))
    routes = Routes(maps)
    count = 0
    for found in good.inspections.values():
        (machine, *_) = routes.machines(found.applies)
        for ways in maps.of(found.id).values():
            for way in ways:
                if good.inspections[found.id].step(way.step).kind == "compute":
                    continue
                path = maps.path(found.id, lambda w, way=way: w == way)
                end = follow(
                    good, (*tell(machine), *routes.opening(machine, found), *maps.spell(found.id, path))
                )
                assert end.refused == ""
                run = end.state.given[-1]
                assert (run.step, run.answer) == (way.step, way.answer)
                stops = way.goes.startswith(STOP)
                assert (end.state.job == "stopped") == stops
                assert stops or run.goes == way.goes
                count += 1
    assert count > 40
