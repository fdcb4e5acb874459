"""The shipped flow holds to the facts of the trade. Each is common practice, but where a source stands beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path

import pytest

from tests.helpers.jobs import Job
from wizard.diagnosis.network_builder import build
from wizard.documents.content.step_evidence import step_evidence
from wizard.documents.document_tree import Evidence
from wizard.engine.messages import commands as c
from wizard.engine.queries.asked_ticks import asked_answers
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.loading.static_check import examine
from wizard.flow.model import AnyStep as Step
from wizard.flow.model import Flow, Inspection
from wizard.flow.model.acts import answer_effects, step_needs
from wizard.flow.parsing.flow_files import read_folder
from wizard.measure.quantities.units import from_si
from wizard.safety import fits

OWN = (
    "door", "load", "hang", "drum-sound", "object", "stack-firm", "transit", "damper", "spring", "hook", "seat",
    "mount", "play", "rim", "hub", "block", "bolt", "rotor", "strike", "refill",
)  # fmt: skip
SPINS = (
    "baseline.strike", "baseline.worst", "baseline.floor", "proving-spin.slow",
    "proving-spin.full", "proving-spin.towels", "known-bag.spin", "known-bag-top.spin", "sensing.big-bag", "buzz.again",
)  # fmt: skip
TURNING = (
    "no-spin.drum", "ring.listen", "ring-top.listen", "spider.feel", "basket.hub", "object.turn",
    "bearings-direct.turn",
)  # fmt: skip
FRONT = {"kind": "front-loader", "drive": "belt", "motor": "inverter", "stack": "none", "rings": "2"}


@pytest.fixture(scope="module")
def folder() -> Path:
    """The folder of the shipped flow."""
    return folder_of("washer-shake")


@pytest.fixture(scope="module")
def flow(folder: Path) -> Flow:
    """The shipped flow, checked."""
    return load(folder)


def steps(flow: Flow) -> Iterator[tuple[Inspection, Step]]:
    """Every step with its inspection."""
    return ((i, s) for i in flow.inspections.values() for s in i.steps)


def applying(flow: Flow, **facts: str) -> set[str]:
    """The ids of the inspections for a machine."""
    return {i.id for i in flow.inspections.values() if fits(i.applies, {**FRONT, **facts})}


def test_the_check_finds_nothing(folder: Path) -> None:
    """The shipped flow has neither errors nor warnings."""
    assert [str(p) for p in examine(read_folder(folder)).problems] == []


def test_dampers_are_looked_for_on_front_loaders_only(flow: Flow) -> None:
    """Dampers on front loaders only, three or four as a rule (common practice); two have limits of their own."""
    assert {"bounce", "dampers"} <= applying(flow)
    for kind in ("top-hung", "top-base", "other"):
        assert not {"bounce", "dampers", "weights", "spider"} & applying(flow, kind=kind)
    values = flow.fact("dampers").values  # type: ignore[union-attr]
    assert [v.id for v in values if not v.later] == ["2", "3", "4"] and values[-1].later
    assert flow.fact("dampers").usual in ("3", "4")  # type: ignore[union-attr]


def test_rods_straps_and_pads_are_for_top_loaders_only(flow: Flow) -> None:
    """Rods and straps hang a tub, pads carry one on springs (common practice)."""
    assert "rods" in applying(flow, kind="top-hung") and "pads" in applying(flow, kind="top-base")
    assert not {"rods", "pads", "springs-base"} & applying(flow)
    assert set(flow.faults["rods"].share) == set(flow.faults["straps"].share) == {"top-hung"}


def test_a_front_loader_with_rings_has_two_as_a_rule(flow: Flow) -> None:
    """Two rings is the usual answer, none makes the ring 'not fitted' (common practice)."""
    assert flow.fact("rings").usual == "2"  # type: ignore[union-attr]
    assert "ring" not in applying(flow, rings="0") and flow.inspections["ring"].absent


def test_a_sleeve_squeals_and_balls_rumble(flow: Flow) -> None:
    """A failing sleeve bearing squeals, a failing ball bearing rumbles, worse in spin (common practice)."""
    step = flow.inspections["bearings-belt"].step("spin")
    assert step is not None and "worse in spin" in step.expect
    says = {a.says for a in step.answers}
    assert any("squeals" in s and "sleeve" in s for s in says) and any(
        "rumbles" in s and "balls" in s for s in says
    )


def test_hoses_are_looked_at_once_or_twice_a_year(flow: Flow) -> None:
    """Every 6 to 12 months; rubber is common, braided steel is against bursting (common practice)."""
    look = flow.inspections["hoses-look"]
    step = look.step("made-of")
    assert "once or twice a year" in look.why and step is not None
    assert "common" in step.expect and "bursting" in step.expect


@pytest.mark.parametrize(
    ("fault", "part", "count"),
    [("rods", "rod", 4), ("feet", "foot", 4), ("springs", "spring", 2), ("bearings", "bearing", 2),
     ("bearings", "tub-seal", 1), ("spider", "tub-seal", 1), ("spider", "bearing", 2), ("hoses", "fill-hose", 2)],
)  # fmt: skip
def test_parts_go_in_as_sets(flow: Flow, fault: str, part: str, count: int) -> None:
    """Rods and feet as four, springs as pairs, the seal with the bearings, both hoses (common practice)."""
    parts = {p.id: p.count for p in flow.faults[fault].remedy.parts}
    assert parts[part] == count


def test_dampers_go_in_as_a_set(flow: Flow) -> None:
    """As many new dampers as the machine has (common practice)."""
    for fault in ("dampers-worn", "dampers-seized"):
        assert {p.per for p in flow.faults[fault].remedy.parts} == {"dampers"}


def test_the_bus_must_be_below_50_volts(flow: Flow) -> None:
    """29 CFR 1910.303(g)(2)(i): live parts of 50 V or more are guarded."""
    (limit,) = flow.limits["stored-volts"]
    assert [(b.verdict, b.top) for b in limit.bands] == [("pass", 50.0), ("fail", None)]
    assert not limit.bands[0].inclusive and limit.status == "P"


def test_a_bus_is_measured_after_its_wait(flow: Flow) -> None:
    """Five minutes after power went off, ten where it was still charged (common practice)."""
    (bus,) = [s for i, s in steps(flow) if (i.id, s.id) == ("dead-bus", "bus")]
    assert bus.wait is not None and bus.wait.minutes == (5, 10)
    assert bus.wait.since == "supply" and step_needs(flow, bus)["supply"] <= {"held", "locked"}


def test_the_earth_and_the_insulation(flow: Flow) -> None:
    """0.3 ohm and 1 Mohm of in-service testing practice."""
    (earth,), (insulation,) = flow.limits["earth-bond"], flow.limits["insulation"]
    assert from_si(earth.bands[0].top or 0, "ohm") == pytest.approx(0.3) and earth.bands[0].inclusive
    assert (
        from_si(insulation.bands[0].top or 0, "Mohm") == pytest.approx(1)
        and not insulation.bands[0].inclusive
    )


def needs(flow: Flow, name: str) -> Mapping[str, frozenset[str]]:
    """What must be so for a step, inspection.step."""
    inspection, _, step_id = name.partition(".")
    step = flow.inspections[inspection].step(step_id)
    assert step is not None, name
    return step_needs(flow, step)


def test_every_spin_waits_for_the_look(flow: Flow) -> None:
    """What this flow adds to a run is looked for before any spin: each of it is asked by the look or by its water."""
    own = [c for c in flow.reaches["run"].needs if c in OWN]
    assert len(own) == len(OWN)
    asked = {
        c
        for name in ("no-spin", "known-bad", "stacked", "pedestal", "refill")
        for s in flow.inspections[name].steps
        for c in said_usually(s)
    }
    assert set(own) <= asked


def said_usually(step: Step) -> set[str]:
    """The conditions that a step's usual answer speaks of; where several may be ticked, none of them is."""
    if step.many:
        return set(answer_effects(step, ()))
    return set(step.usual.so) if step.usual else set()


@pytest.mark.parametrize("name", SPINS)
def test_nothing_spins_but_in_a_run(flow: Flow, name: str) -> None:
    """A spin needs all that a run needs: closed, levelled, people clear, nothing found that forbids it."""
    has = needs(flow, name)
    assert all(has[c] <= values for c, values in flow.reaches["run"].needs.items())


def test_what_shows_terminals_is_proved_dead(flow: Flow) -> None:
    """Behind the panels of drive, base and dampers lie motor, capacitor or inverter: proved dead first."""
    bare = {"front", "rear", "cabinet"}
    for inspection, step in steps(flow):
        open_at = {c for c, values in step.needs.items() if c in bare and values == {"off"}}
        if open_at:
            has = step_needs(flow, step)
            assert has["dead"] == {"proved"} and has["charge"] == {"bled"}, f"{inspection.id}.{step.id}"


@pytest.mark.parametrize("name", TURNING)
def test_turning_the_drum_may_charge_the_bus(flow: Flow, name: str) -> None:
    """A hand spin of a direct drive makes voltage: the bus is measured again after it."""
    inspection, _, step_id = name.partition(".")
    step = flow.inspections[inspection].step(step_id)
    assert step is not None and "charged" in step.may["charge"]
    assert needs(flow, name)["wedge"] == {"out"}


@pytest.mark.parametrize(
    "name", ["bounce.swings", "bounce.rests", "bounce.recorded", "bounce-hung.bounce", "bounce-hung.corners"]
)
def test_the_bounce_is_counted_on_a_free_drum(flow: Flow, name: str) -> None:
    """A wedge that touches the cabinet, or a tie, would damp what is counted (common practice)."""
    has = needs(flow, name)
    assert has["wedge"] == {"out"} and (not name.startswith("rods") or has["tub"] == {"free"})


@pytest.mark.parametrize("fault", ["dampers-worn", "rods", "springs", "ring", "transit"])
def test_no_proxy_confirms_a_part(flow: Flow, fault: str) -> None:
    """A bounce, a lean or a bag in the spin points to a part; the part itself is looked at or measured first."""
    proxies = {"bounce", "known-bag", "known-bag-top"}
    named = flow.faults[fault].confirm
    assert named and not {w.inspection for w in named} & proxies
    assert not {w.step for w in named} & {"bounce", "lean", "swings", "rests", "free"}


def test_a_bounce_says_nothing_of_one_damper(flow: Flow) -> None:
    """The drag of one damper is measured on a scale or felt by hand; the bounce tells of all together."""
    for step in flow.inspections["bounce"].steps:
        said = {f for a in step.answers for f in (*a.finds, *a.rules_out)}
        assert not said & {"damper-drag-low", "damper-drag-high", "damper-apart"}, step.id


@pytest.mark.parametrize("way", ["", "-below"])
def test_a_stroke_tells_weak_from_dead_and_which_damper(flow: Flow, way: str) -> None:
    """Even but weak, one unlike the others, dead, sticking: each is asked its place."""
    stroke = flow.inspections["dampers"].step(f"stroke{way}")
    assert stroke is not None and {a.id for a in stroke.answers} == {"even", "weak", "one", "dead", "sticks"}
    asked = {a.id: str(a.next) for a in stroke.answers}
    assert asked.pop("even") == f"pull{way}" and set(asked.values()) == {f"which{way}"}


@pytest.mark.parametrize("name", ["baseline.set-up", "proving-spin.set-up"])
def test_a_phone_is_never_loose_on_top(flow: Flow, name: str) -> None:
    """It is taped to the corner, or lies on the floor beside a machine that bangs."""
    inspection, _, step_id = name.partition(".")
    step = flow.inspections[inspection].step(step_id)
    assert step is not None and "with tape" in step.do and "on the floor" in step.expect


def test_the_standpipe_is_watched_while_it_drains(flow: Flow) -> None:
    """Whoever times the pump watches where the water goes, and pauses it if it backs up."""
    pump = flow.inspections["drain"].step("pump")
    assert pump is not None and "Watch the standpipe while it drains" in pump.do
    assert str(pump.unable.next) == "standpipe"


@pytest.mark.parametrize("name", ["ring", "ring-top"])
def test_a_ring_of_balls_rattles(flow: Flow, name: str) -> None:
    """A ring with liquid sloshes, one with balls in oil rattles; neither is silent while it is well."""
    listen = flow.inspections[name].step("listen")
    assert listen is not None
    assert {a.id for a in listen.answers if "ring-silent" in a.rules_out} == {"even", "rattles"}


@pytest.mark.parametrize("condition", ["door", "load", "transit"])
def test_the_drum_is_looked_into_again_after_a_break(flow: Flow, condition: str) -> None:
    """Nobody attended: an owner, a child or a cat may have been there."""
    assert "unsound" in flow.conditions[condition].alone["sound"]
    assert flow.reaches["run"].needs[condition] == {"sound"}
    load = flow.inspections["no-spin"].step("load")
    assert load is not None and "no child, no cat" in load.expect


def test_a_door_that_stays_locked_has_a_way(flow: Flow) -> None:
    """It waits, then the maker's own release; nobody prises or bridges a lock. Locked for good, nothing spins."""
    opens, release = (flow.inspections["door"].step(step) for step in ("opens", "release"))
    assert opens is not None and release is not None
    assert {str(v) for a in opens.answers if a.id != "free" for v in a.so["lock"]} == {"shut"}
    assert release.wait is not None and release.wait.minutes == (3.0,), (
        "a bimetal lock's time: common practice"
    )
    assert {a.id: a.so["lock"] for a in release.answers if a.id != "open"} == {
        "water": {"shut"},
        "locked": {"shut"},
    }
    assert "Never prise a lock, and never bridge it" in release.expect


def test_what_stays_as_it_was_seen_is_asked_along_only_where_nobody_knows_it(flow: Flow) -> None:
    """A stack kit is asked by one step; transit parts with the rest before a spin too, by a line that isn't offered
    where they were looked for.
    """
    asking = {
        c: {f"{i.id}.{s.id}" for i, s in steps(flow) if i.id in flow.procedures and c in said_of(s)}
        for c in ("stack-firm", "transit")
    }
    assert asking == {"stack-firm": {"stacked.kit"}, "transit": {"no-spin.transit", "before-spin.seen"}}
    job = Job({f.id: f.usual or "X1" for f in flow.facts}, flow)
    job.come_to("no-spin", "door")
    look = flow.inspections["before-spin"]
    assert job.believed("transit") == {"sound"}
    assert "transit" not in {a.id for a in asked_answers(job.view, look, look.steps[0])}
    job.do(c.Pause())
    assert "transit" in {a.id for a in asked_answers(job.view, look, look.steps[0])}


@pytest.mark.parametrize(
    ("facts", "asked"),
    [
        ({"stack": "none", "pedestal": "none"}, set()),
        ({"stack": "electric", "pedestal": "none"}, {"stacked"}),
        ({"stack": "none", "pedestal": "plinth-fixed"}, {"pedestal"}),
        ({"feet": "casters"}, {"casters", "close-casters"}),
        ({"feet": "all-four"}, {"foot-nuts", "feet-out", "close"}),
        ({"feet": "self-adjusting-rear"}, {"foot-nuts", "rear-feet", "close"}),
    ],
)
def test_steps_for_other_machines_are_not_asked(flow: Flow, facts: dict[str, str], asked: set[str]) -> None:
    """No clamp without a dryer or pedestal, no lock nut or thread on casters, no look under rear feet that reset."""
    of_some = {"stacked", "pedestal"} if "stack" in facts else {
        "casters", "close-casters", "foot-nuts", "feet-out", "rear-feet", "close",
    }  # fmt: skip
    assert applying(flow, **facts) & of_some == asked


def test_a_machine_with_nothing_on_or_under_it_has_no_loose_stack(flow: Flow) -> None:
    """It isn't ranked there, and can't be confirmed; with a dryer on it, or on a pedestal, it is."""
    machine = {"kind": "front-loader", "stack": "none", "pedestal": "none"}
    assert "stack" not in build(flow, machine).faults and not flow.faults["stack"].may_be(
        "front-loader", machine
    )
    for fact, value in (("stack", "electric"), ("pedestal", "pedestal")):
        assert "stack" in build(flow, machine | {fact: value}).faults


def test_what_is_not_known_of_the_drive_or_the_ring_rules_nothing_out(flow: Flow) -> None:
    """Not known yet: both drives are looked for, and the ring is listened for."""
    found = applying(flow, drive="not-known", rings="not-known")
    assert {"drive-belt", "bearings-belt", "drive-direct", "bearings-direct", "ring"} <= found


def test_feet_that_set_themselves_are_not_measured_for_thread_or_place(flow: Flow) -> None:
    """Only the front ones screw: two places, and no lock nut is tried at the rear."""
    found = applying(flow, feet="self-adjusting-rear")
    assert "feet-out" not in found and "rear-feet" in found
    out, nuts = flow.inspections["rear-feet"].step("out"), flow.inspections["foot-nuts"].step("nuts")
    assert out is not None and out.reading.places == ("front left", "front right")  # type: ignore[union-attr]
    assert nuts is not None and "each foot that screws" in nuts.do


def test_a_run_capacitor_motor_is_not_asked_to_sense_a_bag(flow: Flow) -> None:
    """It turns as the mains does: no control hears the load in it. Inverter and tacho motors do."""
    assert "sensing" not in applying(flow, motor="capacitor-run")
    assert all("sensing" in applying(flow, motor=m) for m in ("inverter", "brushed", "not-known"))


def test_no_buzz_is_looked_for_where_none_was_heard(flow: Flow) -> None:
    """Nothing rattles: no wedge is asked. Nobody heard one: no spin is made for it."""
    press, heard = flow.inspections["panels"].step("press"), flow.inspections["buzz"].steps[0]
    assert press is not None and press.usual is not None and str(press.usual.next) == "end"
    assert heard.reach == "talk" and {a.id: str(a.next) for a in heard.answers} == {
        "yes": "again",
        "no": "end",
    }


def test_a_jam_seen_at_the_filter_is_cleared_there(flow: Flow) -> None:
    """Long pliers through the filter's opening; no panel comes off for it."""
    opened, free = flow.inspections["filter"].step("open"), flow.inspections["filter"].step("free")
    assert opened is not None and free is not None and free.reach == "drum"
    assert {str(a.next) for a in opened.answers if a.id == "pump-stuck"} == {"free"}


def test_squeal_and_sway_are_among_the_noises(flow: Flow) -> None:
    """Both are told by customers; each is a finding of its own."""
    noises = flow.inspections["arrival"].step("noises")
    assert noises is not None
    assert {f for a in noises.answers for f in a.finds} >= {"squeals", "sways"}


def said_of(step: Step) -> set[str]:
    """The conditions that any answer of a step speaks of."""
    return {c for a in step.answers for c in (*a.so, *a.unticked_so)}


@pytest.mark.parametrize(
    ("condition", "values"),
    [("tub", {"tied"}), ("weight", {"tilted", "blocked", "propped"}), ("parts", {"off"}), ("tools", {"in"}),
     ("wedge", {"in", "loose"})],
)  # fmt: skip
def test_the_paper_says_how_a_machine_was_left(flow: Flow, condition: str, values: set[str]) -> None:
    """Tied, propped, wedged or with parts off: the customer reads it."""
    assert set(flow.conditions[condition].handover) == values


def test_no_water_while_a_hose_is_off(flow: Flow) -> None:
    """Taps on with a hose off can't be reached: what opens a tap needs every hose on, and every panel."""
    for inspection, step in steps(flow):
        if any("open" in a.so.get("taps", ()) and not a.stop for a in step.answers):
            has = step_needs(flow, step)
            assert has["hoses"] == has["front"] == {"on"}, f"{inspection.id}.{step.id}"
            assert "live" not in has["supply"]


def test_hands_in_the_drum_hold_the_plug(flow: Flow) -> None:
    """29 CFR 1910.147(a)(2)(iii)(A): the plug under the exclusive control of who works; no step reaches in
    without.
    """
    inside = {
        "machine:tub",
        "front-loader:drum",
        "front-loader:tub",
        "basket:hub",
        "basket:ring",
        "drive:pulley",
    }
    for inspection, step in steps(flow):
        if str(step.drawing) in inside and step.reach not in ("", "talk", "look"):
            assert step_needs(flow, step)["supply"] == {"held", "locked"}, f"{inspection.id}.{step.id}"


def test_hoses_are_looked_along_before_one_goes(flow: Flow) -> None:
    """A machine is left in use only with its hoses looked at in this visit."""
    assert flow.reaches["left-in-use"].needs["hoses-seen"] == {"yes"} and "hoses" in flow.procedures


def test_the_loaded_spin_is_never_lost_for_want_of_a_phone(flow: Flow) -> None:
    """No phone: the eye, and on to the towels. The proof by a reading is then still to be made."""
    spin = flow.inspections["proving-spin"]
    for name, eye, then in (("empty", "empty-by-eye", "load"), ("loaded", "loaded-by-eye", "moved")):
        measured, seen = spin.step(name), spin.step(eye)
        assert measured is not None and str(measured.unable.next) == eye
        assert seen is not None and {str(a.next) for a in seen.answers} == {then}
    assert "spin-proof" in flow.prove


def test_a_gas_dryer_and_a_loose_plinth_stop_the_job(flow: Flow) -> None:
    """Told at arrival, they stop work before anything is touched."""
    stops = {(f.id, v.id): v.stop for f in flow.facts for v in f.values if v.stop}
    assert stops == {("stack", "gas"): "gas-dryer", ("pedestal", "plinth-loose"): "plinth-loose"}


def test_no_switch_is_touched_when_gas_is_smelt(flow: Flow) -> None:
    """The gas stop begins with hands off and ends with a call from outside (common practice)."""
    acts = " ".join(flow.stops["gas"].make_safe)
    assert flow.stops["gas"].make_safe[0].startswith("Touch no switch") and "from outside" in acts
    assert "plug" not in acts.replace("no switch, plug", "")


def test_every_fault_has_two_cases_a_kind(flow: Flow, folder: Path) -> None:
    """A plain one and one with a misleading answer for every kind that can have the fault."""
    names = {case.id for case in load_cases(folder, flow)}
    short = {"front-loader": "fl", "top-hung": "hung", "top-base": "base"}
    for fault in flow.faults.values():
        for kind in set(fault.share) & set(short):
            assert {f"{fault.id}-{short[kind]}", f"{fault.id}-{short[kind]}-misled"} <= names


def test_what_holds_out_of_sight_is_presumed_and_how_it_hangs_is_seen(flow: Flow) -> None:
    """'As far as you see it': no hook behind a panel was seen."""
    step = flow.inspections["hangs"].steps[0]
    found = {c: step_evidence(flow, step, ("level",), c) for c in ("hang", "hook", "seat", "mount")}
    assert found.pop("hang") is Evidence.SEEN and set(found.values()) == {Evidence.PRESUMED}
