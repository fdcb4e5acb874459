"""Curves from sessions: the true one is found, the flow's own left alone, doubtful faults weighed, unsound ones not
offered; what is too few says so.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from tests.helpers.drawn_sessions import session, shake
from tests.learning.drawn_readings import alone, drawn_readings, read
from wizard.flow.model import Flow
from wizard.flow.model.curve_problems import curve_problems
from wizard.learning.curve_cases import gather_readings, in_unit
from wizard.learning.curves.curve_levels import SeverityLevels
from wizard.learning.curves.curve_numbers import curved_limits, limit_with, numbers_of
from wizard.learning.curves_fit import fit_curves
from wizard.learning.estimate import Estimate, NumberId, NumberKind, NumberStanding
from wizard.learning.learner import changes
from wizard.learning.numbered_flow import in_flow, with_numbers
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.regrading import regraded

ROD, PLAY, DRAG, PADS = "rod-drag", "rim-play", "damper-drag@3,4", "pad-thickness"
RODS, BEARINGS, DAMPERS = ("rods", "load"), ("bearings", "load"), ("dampers-worn", "load", "dampers-seized")


def curve(name: str, part: str) -> NumberId:
    return NumberId(NumberKind.CURVE, name, part)


def changed(name: str, numbers: dict[str, float]) -> Flow:
    """The shake flow with other numbers of a curve."""
    return with_numbers(shake(), {curve(name, part): value for part, value in numbers.items()})


@cache
def own(name: str) -> dict[str, float]:
    return numbers_of(curved_limits(shake())[name])


def estimates(found: tuple[Estimate, ...], name: str) -> dict[str, Estimate]:
    return {e.id.of: e for e in found if e.id.thing == name}


TRUE_ROD = {"usual": 30.0, "scatter": 5.0, "free.mild": 13.5, "free.moderate": 8.0, "free.severe": 2.5}
TRUE_PLAY = {"usual": 0.26, "scatter": 0.15, "loose.mild": 1.69, "loose.moderate": 3.34, "loose.severe": 6.64}


@pytest.mark.parametrize(
    ("name", "faults", "truth"),
    [
        pytest.param(ROD, RODS, TRUE_ROD, id=ROD),
        pytest.param(PLAY, BEARINGS, TRUE_PLAY, id=PLAY, marks=pytest.mark.nightly),
    ],
)
def test_the_true_curve_lies_in_its_interval_as_often_as_it_says(
    name: str, faults: tuple[str, ...], truth: dict[str, float]
) -> None:
    """Another curve than the flow's, drawn 40 times, the trainer's numbers next to nothing: all of its numbers at once
    95 times in 100, as near as chance lets it; and none of them is ever far off.
    """
    flow, there, held = alone(shake(), name), changed(name, truth), 0
    far = 0.7 * truth["scatter"]
    for seed in range(40):
        sessions = drawn_readings(
            flow, there, name, faults, 240, seed, uncertainty=own(name)["scatter"] / 10.0
        )
        found = estimates(fit_curves(flow, sessions, strength=1.0).estimates, name)
        held += all(e.low <= truth[part] <= e.high for part, e in found.items())
        assert all(abs(e.new - truth[part]) < far + 0.1 * abs(truth[part]) for part, e in found.items())
    assert 34 <= held <= 40


@pytest.mark.parametrize(
    ("name", "faults"),
    [
        (ROD, RODS),
        pytest.param(PLAY, BEARINGS, marks=pytest.mark.nightly),
        pytest.param(DRAG, DAMPERS, marks=pytest.mark.nightly),
    ],
)
def test_right_curves_are_left_alone(name: str, faults: tuple[str, ...]) -> None:
    """Sessions as the flow's own curve has them, drawn 30 times: hardly ever does it change."""
    doubt, flow, wrong = own(name)["scatter"] / 10.0, alone(shake(), name), 0
    for seed in range(30):
        sessions = drawn_readings(flow, flow, name, faults, 150, seed, uncertainty=doubt)
        wrong += any(e.standing is not NumberStanding.AGREES for e in fit_curves(flow, sessions).estimates)
    assert wrong <= 4


@pytest.mark.parametrize("doubtful", [0.0, 0.4], ids=["certain", "doubtful"])
@pytest.mark.parametrize(("name", "faults"), [(PADS, ("pads", "load")), (ROD, RODS)], ids=[PADS, ROD])
def test_a_tool_that_reads_a_fifth_too_high_is_found(
    name: str, faults: tuple[str, ...], doubtful: float
) -> None:
    """All is a fifth higher: what healthy machines give, their scatter, each severity; with doubtful faults too. Of
    rods the check refuses it, since by their bands too many healthy ones would drag too hard: said.
    """
    doubt = own(name)["scatter"] / 10.0
    sessions = drawn_readings(
        shake(), shake(), name, faults, 200, 7, uncertainty=doubt, factor=1.2, doubtful=doubtful
    )
    found = fit_curves(shake(), sessions)
    told, new = estimates(found.estimates, name), changes(found.estimates)
    assert found.settled and all(e.low <= 1.2 * own(name)[part] <= e.high for part, e in told.items())
    assert told["usual"].low > told["usual"].old
    assert told["usual"].new == pytest.approx(1.2 * own(name)["usual"], rel=0.08)
    if name == PADS:
        assert {i.of for i in new} == set(own(name)) and not told["usual"].why
    else:
        assert not new and "a healthy machine passes" in told["usual"].why


def test_a_doubtful_fault_counts_by_what_else_was_found() -> None:
    """By hand: rods were repaired with another part, and nothing else was found; then their odds alone say it."""
    flow, label = shake(), ProvedFaults(("load",), ("rods",))
    facts = {"kind": "top-hung"}
    reading = read(flow, ROD, "rod-slides", 20.0, 0.5)
    seen = replace(session(0, label, {"rod-slides": reading.evidence}, facts), readings=(reading,))
    prior = flow.occupancy * flow.faults["rods"].share["top-hung"] / 100.0
    table = gather_readings(flow, [seen])[ROD]
    levels = SeverityLevels(flow)
    want = prior * levels.chances("rod-slides", ("rods",)) + (1 - prior) * levels.chances("rod-slides", ())
    assert table.cases.chances[0] == pytest.approx(want)
    assert (table.cases.healthy[0], table.cases.faulty[0]) == pytest.approx((1 - prior, prior))
    heard = replace(seen, either={**seen.either, "rod-bounces": 1.0})
    assert gather_readings(flow, [heard])[ROD].cases.faulty[0] > 3 * prior


def test_levels_are_those_of_the_network() -> None:
    """A leak and one fault by hand: 1 - (1 - leak of that severity and worse)(1 - what the fault shows so bad)."""
    flow = shake()
    finding, none = flow.findings["rod-slides"], SeverityLevels(flow).chances("rod-slides", ())
    shares = np.array([0.35, 0.4, 0.25])
    assert none == pytest.approx([1 - finding.leak, *(finding.leak * shares)])
    there = SeverityLevels(flow).chances("rod-slides", ("rods", "load"))
    assert there[0] == pytest.approx(
        (1 - finding.leak) * (1 - finding.weights["rods"])
    ) and there.sum() == pytest.approx(1)


def test_too_few_say_how_many_are_missing_and_leave_their_numbers() -> None:
    """Healthy machines enough and faulty ones not, and the other way round; nothing was read of the rest."""
    flow = shake()
    some = drawn_readings(flow, changed(ROD, {"usual": 23.0, "scatter": 4.0}), ROD, ("load",), 40, 1)
    found = estimates(fit_curves(flow, some).estimates, ROD)
    assert not found["usual"].missing and found["usual"].standing is NumberStanding.CHANGE
    few = found["free.mild"]
    assert (few.missing, few.new, few.standing) == (8, few.old, NumberStanding.FEW)
    faulty = drawn_readings(flow, flow, ROD, ("rods",), 40, 1)
    found = estimates(fit_curves(flow, faulty).estimates, ROD)
    assert (found["usual"].missing, found["usual"].new) == (8, 27.0) and not found["free.mild"].missing
    never = fit_curves(flow, faulty).estimates
    assert all((e.missing, e.new) == (8, e.old) for e in never if e.id.thing != ROD)
    assert {e.id.thing for e in never} == set(curved_limits(flow))


def test_what_is_not_proved_says_nothing() -> None:
    """Nor does a curve, or a finding, that the flow does not have."""
    flow = shake()
    some = drawn_readings(flow, flow, ROD, RODS, 30, 1)
    assert not gather_readings(flow, [replace(one, faults=None) for one in some])
    gone = [replace(one, readings=tuple(replace(r, limit="gone") for r in one.readings)) for one in some]
    assert not gather_readings(flow, gone)


def test_a_curve_that_the_check_would_refuse_is_not_offered() -> None:
    """Healthy machines of which many would not pass: said, in the words of the check, and nothing of it changes."""
    flow = shake()
    some = drawn_readings(flow, changed(PLAY, {"usual": 0.6}), PLAY, BEARINGS, 200, 3, uncertainty=0.02)
    found = estimates(fit_curves(flow, some).estimates, PLAY)
    usual = found["usual"]
    assert usual.standing is NumberStanding.UNSOUND and "a healthy machine passes" in usual.why
    assert not changes(found.values())
    limit = limit_with(curved_limits(flow)[PLAY], {part: e.new for part, e in found.items()})
    assert usual.why in "; ".join(curve_problems(limit, flow.severity))


def test_nothing_is_offered_below_nought_where_nothing_was() -> None:
    """A pull cannot be less than none."""
    flow, deep = shake(), {"free.mild": 6.0, "free.moderate": -1.0, "free.severe": -8.0}
    some = drawn_readings(flow, changed(ROD, deep), ROD, RODS, 300, 3)
    found = estimates(fit_curves(flow, some).estimates, ROD)
    assert "lies below 0" in found["free.severe"].why and not changes(found.values())


@pytest.mark.parametrize("seed", range(4))
def test_what_is_offered_is_sound(seed: int) -> None:
    """Whatever was read: the flow with all that changes keeps what its check asks of curves."""
    flow, rng = shake(), np.random.default_rng(seed)
    truth = {part: value * float(rng.uniform(0.6, 1.7)) for part, value in own(DRAG).items()}
    some = drawn_readings(flow, changed(DRAG, truth), DRAG, DAMPERS, 150, seed)
    new = with_numbers(flow, changes(fit_curves(flow, some).estimates))
    for limit in curved_limits(new).values():
        assert not curve_problems(limit, flow.severity)


def test_the_prior_stands_around_the_trainers_curve() -> None:
    """What was learned and taken before is not counted as the trainer's word a second time."""
    flow = shake()
    some = drawn_readings(
        flow, changed(PADS, {"usual": 3.0}), PADS, ("pads", "load"), 40, 2, uncertainty=0.05
    )
    first = fit_curves(flow, some)
    taken = with_numbers(flow, changes(first.estimates))
    trainer = {curve(PADS, part): value for part, value in own(PADS).items()}
    once, again, twice = (
        estimates(found.estimates, PADS)["usual"].new
        for found in (first, fit_curves(taken, some, trainer), fit_curves(taken, some))
    )
    assert again == pytest.approx(once, abs=0.002) and twice > once + 0.02


def test_a_trainers_numbers_that_make_no_curve_are_left() -> None:
    """Somebody wrote others by hand since: the old usual lies among the new typical ones."""
    some = drawn_readings(shake(), shake(), ROD, RODS, 60, 2)
    odd = {curve(ROD, "usual"): 7.0}
    assert fit_curves(shake(), some, odd).estimates == fit_curves(shake(), some).estimates


def test_readings_in_another_unit_are_the_same() -> None:
    """An older version of the flow had pounds of force, or inches."""
    reading = read(shake(), ROD, "rod-slides", 20.0, 0.5)
    other = in_unit(reading, "lbf")
    assert other.value == pytest.approx(20.0 / 4.4482216152605) and in_unit(
        other, "N"
    ).value == pytest.approx(20.0)


def test_readings_are_graded_anew_by_the_flows_curves() -> None:
    """By the same curves as they were; by others as those have it, what else was answered beside it as before."""
    flow = shake()
    some = drawn_readings(flow, flow, ROD, RODS, 20, 4)
    for one, again in zip(some, regraded(flow, some), strict=True):
        assert again.evidence == pytest.approx(one.evidence) and again.either == pytest.approx(one.either)
    other = changed(ROD, {"usual": 33.0, "free.mild": 15.0})
    reading = read(flow, ROD, "rod-slides", 20.0, 0.5)
    e, seen_too = reading.evidence, 0.8
    both = seen_too * e / (seen_too * e + (1 - seen_too) * (1 - e))
    one = replace(session(0, None, {"rod-slides": both, "walks": 1.0}), readings=(reading,))
    new = read(other, ROD, "rod-slides", 20.0, 0.5).evidence
    want = seen_too * new / (seen_too * new + (1 - seen_too) * (1 - new))
    again = regraded(other, [one])[0]
    assert new > e and again.evidence == pytest.approx({"rod-slides": want, "walks": 1.0})
    assert again.readings[0].evidence == pytest.approx(new)
    certain = replace(one, evidence={"rod-slides": 1.0}, either={})
    assert regraded(other, [certain])[0].evidence["rod-slides"] == 1.0


def test_a_flow_with_the_numbers_of_a_curve_has_them() -> None:
    """By id, in the limit's unit; of one variant alone; what the flow does not have changes nothing."""
    flow = changed(DRAG, {"usual": 58.0, "low.severe": 12.0})
    assert in_flow(flow, curve(DRAG, "usual")) == 58.0 and in_flow(flow, curve(DRAG, "low.severe")) == 12.0
    assert in_flow(flow, curve("damper-drag@2", "usual")) == 100.0
    assert in_flow(flow, curve("gone", "usual")) is None and in_flow(flow, curve(DRAG, "gone")) is None
    assert changed("gone", {"usual": 1.0}).limits == shake().limits
