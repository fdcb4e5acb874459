"""Advice on the washer's network: what to check next, when enough is known, what is owed."""

from __future__ import annotations

import numpy as np
import pytest

from tests.helpers.networks import rank, washer, washer_network
from wizard.diagnosis.fault_ranking import FaultProbability
from wizard.diagnosis.next_inspection.advice import advise
from wizard.diagnosis.next_inspection.advice_text import stake_words
from wizard.diagnosis.next_inspection.candidates import (
    FOUND,
    LOOK_ON,
    WORTH,
    Access,
    Counsel,
    InspectionCandidate,
    Stake,
)
from wizard.diagnosis.next_inspection.mistake_costs import PROOF, RepairCost
from wizard.diagnosis.repaired_network import with_repairs
from wizard.domain.probability import percent


def cost(minutes: float, parts: float = 0.0, missed: float = 120.0) -> RepairCost:
    """What a mistake about a fault costs; a second visit takes two hours."""
    return RepairCost(minutes, parts, missed)


REPAIRS = {fault["id"]: cost(40.0) for fault in washer()["fault"]}
FEET = InspectionCandidate("feet", "Rock the feet", 3, {"rocks": 1.0}, "isolated")
DRAG = InspectionCandidate("drag", "Pull the dampers", 12, {"damper-drag-bad": 1.0}, "isolated", ("front",))
LOOK = InspectionCandidate(
    "look", "Look at the dampers", 4, {"damper-looks-bad": 1.0}, "isolated", ("front",)
)
TRANSIT = InspectionCandidate("transit", "Look for transit bolts", 1, {"transit-in": 1.0})
ALL = (TRANSIT, FEET, DRAG, LOOK)
BANGS = {"bang-in-ramp": 1.0, "worse-over-months": 1.0, "new-install": 0.0}
SHUT = Access(ways={"isolated": 8.0}, panels={"front": 8.0})
WORN = BANGS | {"damper-drag-bad": 1.0, "damper-looks-bad": 1.0, "rocks": 0.0}


def counsel(evidence: dict[str, float], candidates=ALL, **more) -> Counsel:
    """Advice on a front loader with these checks open."""
    return advise(washer_network("FL"), evidence, candidates, REPAIRS, **more)


def by_id(found: Counsel) -> dict[str, object]:
    """The advice by check."""
    return {check.id: check for check in found.inspections}


def test_the_check_that_tells_of_the_leader_comes_first() -> None:
    """A front loader that bangs and got worse over months: the dampers before the feet, with the reason."""
    first = counsel(BANGS, access=SHUT).inspections[0]
    assert first.id in {"drag", "look"} and first.about == "dampers" and not first.confirms
    leader = rank(washer_network("FL"), BANGS)[0]
    assert leader.fault == "dampers" and percent(leader.probability) in first.why


def test_why_says_minutes_way_and_fault() -> None:
    """The sentence holds the title, all the minutes, those of the way in, and the fault."""
    why = by_id(counsel(BANGS, access=SHUT))["drag"].why
    assert why.startswith("Pull the dampers: 28 min, 16 of them to get there")
    assert "dampers worn or seized" in why


def test_new_installation_sends_to_the_transit_bolts() -> None:
    """Newly installed and worst at speed: a look for the bolts comes before anything that has a way in."""
    assert (
        counsel({"new-install": 1.0, "worst-at-speed": 1.0, "walks": 1.0}, access=SHUT).inspections[0].id
        == "transit"
    )


def test_the_way_in_counts_until_it_is_made() -> None:
    """The minutes of the way in are part of the check until it is made, and never vanish before."""
    shut, open_ = by_id(counsel(BANGS, access=SHUT)), by_id(counsel(BANGS))
    assert shut["feet"].minutes == open_["feet"].minutes + 8 == 11
    assert shut["drag"].minutes == open_["drag"].minutes + 16 == 28
    assert shut["feet"].saves == pytest.approx(open_["feet"].saves)


def test_a_shared_panel_counts_once() -> None:
    """With two checks behind one panel, each has a better rate than with the panel to itself."""
    pair, single = by_id(counsel(BANGS, access=SHUT)), by_id(counsel(BANGS, (DRAG,), access=SHUT))
    assert pair["drag"].rate > single["drag"].rate
    assert "shared with" in pair["drag"].why and "shared" not in single["drag"].why


def test_two_people_count_twice() -> None:
    """A check that needs two people costs the minutes of both."""
    two = InspectionCandidate("drag", "Pull the dampers", 12, {"damper-drag-bad": 1.0}, people=2)
    check = counsel(BANGS, (two,)).inspections[0]
    assert check.minutes == 24 and "2 people" in check.why


def test_a_chance_of_not_obtaining_it_lowers_what_it_saves() -> None:
    """A finding obtained half the time saves half as much; one already answered saves nothing."""
    half = InspectionCandidate("drag", "Pull the dampers", 12, {"damper-drag-bad": 0.5})
    full = InspectionCandidate("drag", "Pull the dampers", 12, {"damper-drag-bad": 1.0})
    assert counsel(BANGS, (half,)).inspections[0].saves == pytest.approx(
        counsel(BANGS, (full,)).inspections[0].saves / 2
    )
    known = counsel(BANGS | {"damper-drag-bad": 0.9}, (full,)).inspections[0]
    assert known.saves == 0.0 and not known.worth and known.why.endswith("All it can tell is known.")


def test_what_only_confirms_is_said_to() -> None:
    """With the fault decided, a further check of it is said only to confirm."""
    more = InspectionCandidate("bounce", "Bounce the tub", 2, {"damper-bounces": 1.0})
    evidence = {k: v for k, v in WORN.items() if k != "damper-looks-bad"}
    check = counsel(evidence, (more,)).inspections[0]
    assert check.confirms and "only confirms: dampers" in check.why


def test_enough_is_known_and_what_is_owed() -> None:
    """When nothing open is worth its minutes that is said, with the confirmation owed before a part is fitted."""
    found = counsel(WORN, (TRANSIT,), confirm={"dampers": ("drag", "look")})
    assert found.enough and found.decided == ("dampers",) and found.tries == ()
    assert found.owed == {"dampers": ("drag", "look")}
    assert found.says.startswith("Enough is known: dampers") and "confirm: dampers" in found.says
    done = counsel(WORN, (TRANSIT,), confirm={"dampers": ("drag", "look")}, done=["drag"])
    assert done.owed == {} and done.says.startswith("Enough is known")


def test_a_fault_shown_at_its_part_leaves_less_to_look_for() -> None:
    """Worn dampers seen at the dampers: a second fault would show in the proof of this visit, so a look for it saves
    less; not where the fault is only likely, nor where it was shown of another.
    """
    quick, more = REPAIRS | {"dampers": cost(10.0)}, WORN | {"rocks": 0.5}

    def saves(evidence: dict[str, float], *seen: str) -> float:
        return by_id(advise(washer_network("FL"), evidence, ALL, quick, seen=seen))["feet"].saves

    assert 0.0 < saves(more, "dampers") < 0.7 * saves(more)
    assert saves(more, "feet") == saves(more) and saves(BANGS, "dampers") == saves(BANGS)


def test_a_dear_part_makes_a_check_worth_more_until_a_second_visit_is_cheaper() -> None:
    """Half of the lesser mistake: a part of 30 min adds to it, a part of 500 no more than a second visit costs."""

    def saves(dampers: RepairCost) -> float:
        return by_id(advise(washer_network("FL"), BANGS, (DRAG,), REPAIRS | {"dampers": dampers}))[
            "drag"
        ].saves

    none, some, much = saves(cost(40.0)), saves(cost(40.0, 30.0)), saves(cost(40.0, 500.0))
    assert none < some < much and much == saves(cost(40.0, 50.0)) < saves(cost(40.0, 500.0, 240.0))


def test_what_rests_on_a_decision_is_said() -> None:
    """Decided: what a mistake costs, and the best check left with its minutes; nothing decided: nothing rests on it."""
    dear = REPAIRS | {"dampers": cost(40.0, 42.0)}
    found = advise(washer_network("FL"), WORN, (TRANSIT,), dear)
    assert (
        found.decided == ("dampers",) and found.stake is not None and found.stake.lost == 40.0 + 42.0 + PROOF
    )
    said = stake_words(found.stake, "Look for transit bolts")
    assert said.startswith("If it is not that: about 110 min for nothing, 40 of them the worth of its parts.")
    assert (
        "The best check left, Look for transit bolts, takes 1 min and would save less than a minute." in said
    )
    assert counsel(BANGS).stake is None
    last = advise(washer_network("FL"), WORN, (), REPAIRS).stake
    assert (
        last is not None
        and stake_words(last, "") == "If it is not that: about 70 min for nothing. No check is left."
    )


def test_where_nothing_is_wrong_a_second_visit_is_at_stake() -> None:
    """'Normal' decided costs no repair: what is missed costs the next visit."""
    leader = FaultProbability("normal", 0.97)
    assert stake_words(Stake(leader, cost(20.0), True, None), "").startswith(
        "If something is wrong after all: a second visit, about 120 min."
    )


def test_nothing_is_called_decided_while_a_check_is_worth_it() -> None:
    """With worthwhile checks open nothing is decided and no tries are named."""
    found = counsel(BANGS)
    assert not found.enough and found.decided == () and found.tries == ()
    assert "Likeliest now: dampers" in found.says


def test_undecided_with_nothing_left_names_the_order_of_tries() -> None:
    """No check left and nothing decided: the likeliest repairs, cheapest for their odds first."""
    cheap = REPAIRS | {"load": cost(10.0), "dampers": cost(90.0)}
    found = advise(washer_network("FL"), {"some-loads-only": 0.6, "bang-in-ramp": 1.0}, (), cheap)
    assert found.enough and found.decided == () and len(found.tries) == 3
    assert found.tries.index("load") < found.tries.index("dampers")
    assert "Confirm and repair in this order" in found.says and "normal" not in found.tries


def test_where_an_outcome_alone_leads_no_repair_is_tried() -> None:
    """'Normal' ahead, and no check left: nothing is repaired, nor done along, and what is likeliest is said."""
    network = washer_network("FL")
    well = dict.fromkeys(network.findings, 0.15)
    found = advise(network, well, (), REPAIRS, partless=["load"])
    assert rank(network, well)[0].fault == "normal"
    assert found.enough and found.tries == () and found.along == ()
    left = "No check left is worth its minutes, and nothing is decided: likeliest is "
    assert found.says.startswith(left) and found.says.endswith("49 %.") and "Confirm and" not in found.says


def test_where_no_fault_is_likely_no_repair_is_tried() -> None:
    """After a repair whose proof came out well, or hangs on nothing: nothing under 5 % is repaired on trial."""
    network = with_repairs(washer_network("FL"), ["dampers"], WORN)
    found = advise(network, WORN, (), REPAIRS)
    assert rank(network, WORN)[0].probability < 0.05
    assert found.enough and found.tries == ()
    assert found.says.startswith("No check left is worth its minutes, and nothing is decided: likeliest is ")


def test_where_nothing_was_looked_at_no_repair_is_tried() -> None:
    """Everything left out: what the customer told alone leads to no repair."""
    found = advise(washer_network("FL"), BANGS, (), REPAIRS, looked=False)
    assert found.enough and found.tries == ()
    assert found.says.startswith(
        "Nothing was looked at yet, and no check left is worth its minutes. Likeliest is: "
    )
    assert "Confirm and" not in found.says


@pytest.mark.parametrize(
    ("drag", "decided"), [(0.5, False), (0.94, False), (0.99, True)], ids=["0.52", "0.91", "0.96"]
)
def test_decided_takes_more_than_a_bare_nine_tenths(drag: float, decided: bool) -> None:
    """With enough known, 0.91 is not called decided: what is said to be decided is right 98 times in 100."""
    evidence = {"damper-drag-bad": drag, "bang-in-ramp": 1.0, "rocks": 0.0}
    leader = rank(washer_network("FL"), evidence)[0]
    found = counsel(evidence, ())
    assert leader.fault == "dampers" and found.enough
    assert leader.decided == (drag > 0.5) and (found.decided == ("dampers",)) == decided
    assert bool(found.tries) != decided


@pytest.mark.parametrize(("p", "said"), [(0.0, "<1 %"), (0.41, "41 %"), (0.99, "99 %"), (0.9999, ">99 %")])
def test_percents_promise_nothing(p: float, said: str) -> None:
    """Neither 0 nor 100 per cent is ever said."""
    assert percent(p) == said


def test_many_findings_in_one_check_are_weighed_together() -> None:
    """A check that tells nine findings saves at least as much as its best finding alone."""
    network = washer_network("FL")
    some = network.findings[:9]
    many = counsel({}, (InspectionCandidate("talk", "Ask", 5, dict.fromkeys(some, 1.0)),)).inspections[0]
    best = max(
        counsel({}, (InspectionCandidate(name, name, 5, {name: 1.0}),)).inspections[0].saves for name in some
    )
    assert many.saves >= best


def test_saving_is_the_mean_over_outcomes_by_the_exact_posterior() -> None:
    """What one finding is said to save agrees with weighing both of its answers exactly."""
    network = washer_network("TLh")
    evidence = {"bang-in-ramp": 1.0, "walks": 0.0}
    said = (
        advise(network, evidence, (InspectionCandidate("c", "c", 1, {"rod-bad": 1.0}),), REPAIRS)
        .inspections[0]
        .saves
    )
    before = entropies(network, evidence)
    seen, hidden = (entropies(network, evidence | {"rod-bad": e}) for e in (0.98, 0.02))
    chance = share_seen(network, evidence, "rod-bad")
    exact = (before - chance * seen - (1 - chance) * hidden).sum() * 0.5 * 70 / np.log(2)
    assert said == pytest.approx(exact, rel=0.02)


def entropies(network, evidence) -> np.ndarray:
    """Binary entropies of every fault in nats, in the network's order."""
    places = {place.fault: place.probability for place in rank(network, evidence)}
    p = np.array([places[fault] for fault in network.faults])
    return -(p * np.log(p) + (1 - p) * np.log1p(-p))


def share_seen(network, evidence, finding: str) -> float:
    """Chance of the answer 'seen' with a slip in fifty, from the exact weights of the evidence."""
    from wizard.diagnosis.network_posterior import weigh

    seen = weigh(network, evidence | {finding: 0.98}).log_evidence
    hidden = weigh(network, evidence | {finding: 0.02}).log_evidence
    return float(1 / (1 + np.exp(hidden - seen)))


@pytest.mark.parametrize(
    ("text", "call"),
    [
        ("costs has nothing for fault 'load'", lambda: advise(washer_network("FL"), {}, ALL, {})),
        (
            "of fault 'load' must be",
            lambda: advise(washer_network("FL"), {}, ALL, REPAIRS | {"load": cost(float("nan"))}),
        ),
        ("finding 'x' is not", lambda: counsel({}, (InspectionCandidate("c", "c", 1, {"x": 1.0}),))),
        ("candidates: 'c' gives", lambda: counsel({}, (InspectionCandidate("c", "c", 1, {"rocks": 1.5}),))),
        ("candidates: 'c' needs", lambda: counsel({}, (InspectionCandidate("c", "c", -1, {"rocks": 1.0}),))),
        (
            "candidates: 'c' needs",
            lambda: counsel({}, (InspectionCandidate("c", "c", 1, {"rocks": 1.0}, people=0),)),
        ),
    ],
)
def test_bad_advice_input_is_named(text, call) -> None:
    """Missing repairs, unknown findings and bad numbers are ValueErrors that name the culprit."""
    with pytest.raises(ValueError, match=text):
        call()


def test_what_is_unlikely_is_no_try_beside_what_is_not() -> None:
    """Feet 69 %, floor 10 %, dampers 4 %: two tries, not three."""
    network = washer_network("FL")
    told = {"rocks": 0.97, "bang-in-ramp": 0.0, "worst-at-speed": 0.0, "some-loads-only": 0.0}
    chances = {place.fault: place.probability for place in rank(network, told)}
    found = advise(network, told, (), REPAIRS)
    assert chances["dampers"] < 0.05 < chances["floor"] and found.tries == ("feet", "floor")


def test_what_was_found_on_its_own_part_is_decided_from_less() -> None:
    """Feet at .9 to .93: by probability alone not decided; found on the feet themselves, decided, and said so."""
    told = {"rocks": 1.0, "walks": 1.0, "slope-over": 1.0}
    place = rank(washer_network("FL"), told)[0]
    assert place.fault == "feet" and FOUND <= place.probability < 0.93
    without, found = counsel(told, candidates=()), counsel(told, candidates=(), found=["feet"])
    assert without.decided == () and found.decided == ("feet",)
    assert "Enough is known" in found.says and "nothing is decided" in without.says


def test_what_was_found_besides_is_repaired_along_where_leaving_it_costs_more() -> None:
    """Worn dampers are decided; a foot found to rock costs 40 minutes for nothing, or 120 left: from .25 on."""
    told = WORN | {"rocks": 0.9}
    chances = {place.fault: place.probability for place in rank(washer_network("FL"), told)}
    found = counsel(told, candidates=(), found=["feet", "dampers"])
    assert found.decided == ("dampers",)
    assert found.found_along == (("feet",) if chances["feet"] * 120 > (1 - chances["feet"]) * 40 else ())
    assert ("Found on its own part" in found.says) == bool(found.found_along)
    assert counsel(told, candidates=(), found=["dampers"]).found_along == ()
    cheap = {fault: cost(1.0, missed=100_000.0) for fault in REPAIRS}
    advised = advise(washer_network("FL"), told, (), cheap, found=["feet"])
    assert advised.found_along == ("feet",)


def test_while_normal_leads_and_is_not_decided_smaller_gains_are_worth_a_check() -> None:
    """The same check that ends the search where a fault leads goes on where 'nothing is wrong' does."""
    told = dict.fromkeys(
        ("load-unsuitable", "rocks", "bang-in-ramp", "walks", "shakes-empty", "worst-at-speed"), 0.0
    )
    leader = rank(washer_network("FL"), told)[0]
    assert leader.fault == "normal" and not leader.firm
    assert {check.least for check in counsel(told).inspections} == {LOOK_ON}
    assert {check.least for check in counsel(WORN).inspections} == {WORTH}
