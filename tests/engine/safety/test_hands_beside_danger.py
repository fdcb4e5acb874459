"""Hands beside what is charged, cracked, heavy or not strapped, as a person who pressed every key was led to them.

Common practice, but where a source is named: what may be charged is covered or proved dead before hands work beside it
(29 CFR 1910.333(b)(2), 1910.303(g)(2)(i)); a tub is looked at before it is let go.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.helpers.jobs import Job
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobState, NextKind, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.queries import last_known, machine_queries, next_queries
from wizard.engine.queries.machine_view import badge
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.model.acts import remedy_needs, step_needs
from wizard.safety import BarredKind
from wizard.screens.text.step_text import step_lines

BOTH = ["washer-shake", "washer-no-drain"]
TIPS = {
    "dead.volts", "dead-bus.bus", "dead-capacitor.capacitor", "dead-unsure.capacitor", "dead-unsure.fitted",
}  # fmt: skip
"""The steps that measure, and the look for a capacitor: shrouded tips at what is bare, hands off it."""


@cache
def flow(name: str = "washer-shake") -> Flow:
    return load(shipped()[name])


def usual_facts(**other: str) -> dict[str, str]:
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}
    return facts | other


def shake(**other: str) -> Job:
    """A job on the shipped flow, everybody arrived and nothing known."""
    return Job(usual_facts(**other), flow())


def needs_of_all(one: Flow):
    """Every step and every remedy with its reach and its needs."""
    for inspection in one.inspections.values():
        for step in inspection.steps:
            yield f"{inspection.id}.{step.id}", step.reach, step_needs(one, step)
    for fault in one.faults.values():
        yield fault.id, fault.remedy.reach, remedy_needs(one, fault.remedy)


@pytest.mark.parametrize("name", BOTH)
def test_hands_behind_a_panel_have_the_electrics_covered_or_proved_dead_beside_them(name):
    checked, behind = 0, flow(name).reaches["behind"].needs
    for what, reach, needs in needs_of_all(flow(name)):
        if not reach or not behind.keys() <= flow(name).reaches[reach].needs.keys() or what in TIPS:
            continue
        covered = needs.get("service") == {"on"}
        assert covered or (needs.get("charge"), needs.get("dead")) == ({"bled"}, {"proved"}), what
        checked += 1
    assert checked > 10


def test_nobody_pushes_plugs_on_beside_a_bare_bus_that_was_never_measured():
    """Dampers until the cover over the electrics is off, a restart, the empty spin, a part seen to be off."""
    job = shake()
    job.do(c.OpenInspection("dampers"))
    while job.at != "open.service":
        job.answer()
    job.answer("off")
    job.restart()
    job.do(c.OpenInspection("baseline"))
    seen: list[str] = []
    while job.at != "hooking.hook":
        _, step = job.step()
        many = step.many and any(a.id == "service" for a in step.answers)
        seen.append(job.at)
        job.answer(*(("wedge", "hoses") if many else ("off",) if job.at == "closing.unhooked" else ()))
        assert len(seen) < 60, seen[-8:]
    assert job.believed("service") == {"on"} or job.believed("dead") == {"proved"}
    assert "closing.service" in seen or "dead.again" in seen


# ---- a tub that was last seen cracked


def cracked_seat() -> Job:
    """A hung tub, tied; the map shuts the bounce, since a rod's seat is cracked."""
    job = shake(kind="top-hung", stack="none")
    job.come_to("rods", "look")
    job.answer("seat")
    return job


def asked_until(job: Job, inspection: str, most: int = 80, **answers: tuple[str, ...]) -> list[str]:
    """Open an inspection and answer the usual way, but as said, until its own step or the map; what was asked."""
    job.do(c.OpenInspection(inspection))
    seen: list[str] = []
    while job.at != "map" and job.state.run.only:
        seen.append(job.at)
        job.answer(*answers.get(job.at, ()))
        assert len(seen) < most, seen[-8:]
    return seen


@pytest.mark.parametrize("how", ["restart", "visit"])
def test_a_tub_is_let_go_only_after_it_was_looked_at_and_where_nothing_is_known_cracked(how):
    """The tub is tied and last seen cracked. Later nobody knows either: the look comes before the ropes come off."""
    job = cracked_seat()
    if how == "visit":
        job.do(c.StopWork("people"))
        for line in range(len(job.flow.stops["people"].make_safe)):
            job.do(c.MakeSafe("people", line))
        job.do(c.Close())
        job.do(c.BeginVisit("S. Ash", "T-2", "the dog is away"))
        while job.state.run is not None:
            job.answer()
        job.ask_causes()
    else:
        job.restart()
    tied = ("parts", "service", "rear", "top", "front", "cabinet", "wedge", "hoses")
    seen = asked_until(job, "bounce-hung", **{"round-top.seen": tied})
    assert "hangs.look" in seen
    assert "tub.untie" in seen and seen.index("hangs.look") < seen.index("tub.untie")


def test_a_tie_is_taken_off_only_where_the_tub_hangs_right():
    needs = step_needs(flow(), flow().inspections["tub"].step("untie"))
    for condition in ("hang", "hook", "mount"):
        assert needs[condition] == {"sound"}, condition
    assert needs["parts"] == {"on"} and needs["weight"] == {"standing"}


def test_a_cracked_seat_that_was_put_right_by_correction_is_asked_about_before_the_tie():
    """The look was corrected to 'cracked': what forbids a spin is opened, and the tie stays on."""
    job = shake(kind="top-hung", stack="none")
    job.come_to("rods", "slide")
    assert job.believed("tub") == {"tied"}
    look = next(g for g in reversed(job.state.answer_records) if (g.inspection, g.step) == ("rods", "look"))
    job.do(c.Correct(look.seq, ("seat",), "seen from the other side"))
    if job.state.run is not None:
        job.do(c.Leave())
    seen: list[str] = []
    job.do(c.OpenInspection("no-spin"))
    while job.at != "map" and len(seen) < 60 and job.at != "tub.untie":
        seen.append(job.at)
        job.answer()
    assert "hangs.look" in seen or (job.at == "map" and "tied" in job.believed("tub"))


# ---- what is cracked is moved by nobody

MOVES = (
    "bounce", "bounce-hung", "spider", "ring", "ring-top", "basket", "object", "dampers", "springs", "rods", "pads",
)  # fmt: skip


def test_nothing_that_moves_drum_or_tub_is_open_while_the_crack_is_not_cleared():
    model = Rules.of(flow()).model(usual_facts())
    cracked = {**model.top(), "drum-sound": frozenset(("stopped",))}
    for name in ("press", "let-go", "terminals", "lift", "under", "raise", "move", "run"):
        found = model.next_step(cracked, flow().reaches[name].needs)
        assert getattr(found, "condition", "") == "drum-sound", name
    for name in MOVES:
        for step in flow().inspections[name].steps:
            if step.reach not in ("talk", "look", "", "load", "drum"):
                allowed = step_needs(flow(), step).get("drum-sound")
                assert allowed is not None and "stopped" not in allowed, (name, step.id)


# ---- a dryer that is not strapped


def test_a_machine_is_pushed_or_rocked_only_with_its_dryer_strapped_or_down():
    words = ("each corner", "top corner", "push the machine", "corner is pushed", "the level on the washer")
    checked = 0
    for inspection in flow().inspections.values():
        for step in inspection.steps:
            if any(w in step.do.lower() for w in words) and step.reach != "look":
                assert step_needs(flow(), step).get("dryer") == {"strapped", "down"}, (inspection.id, step.id)
                checked += 1
    assert checked >= 6


def test_feet_under_a_dryer_that_cannot_be_strapped_are_not_rocked():
    job = shake(stack="electric")
    job.do(c.OpenInspection("feet"))
    while job.at != "dryer.strap":
        assert job.at.partition(".")[0] != "feet"
        job.answer()
    job.answer("loose")
    assert job.at == "dryer.strap" and "DRYER LOOSE?" in badge(job.view).words
    job.answer("loose")
    assert job.at.partition(".")[0] != "feet"


# ---- what a measurement found bad


def measured_bad(step: str, value: float) -> Job:
    """The electrical check finds earth or insulation bad; every line is done; a new visit."""
    job = shake()
    job.come_to("earth-check", step)
    job.read(value)
    run, at = job.step()
    job.do(c.Judge(run.id, at.id))
    assert job.state.stops[-1].stop == "no-earth"
    for line in range(len(job.flow.stops["no-earth"].make_safe)):
        job.do(c.MakeSafe("no-earth", line))
    assert job.refused(c.Release("earth", "Ms Lee", "lead changed")) is RefusalReason.LATCHED
    job.do(c.Close())
    job.do(c.BeginVisit("S. Ash", "T-2"))
    return job


@pytest.mark.parametrize(("step", "value"), [("earth", 2.0), ("insulation", 0.2)])
def test_what_was_measured_bad_is_cleared_by_no_look_and_no_word_but_by_measuring_it_again(step, value):
    """EN 50678 asks for measured values after a repair; a broken bond inside isn't seen."""
    job = measured_bad(step, value)
    assert "stopped" in job.believed("earth")
    model = job.view.model
    for name in ("energise", "run", "left-in-use"):
        found = model.next_step(machine_queries.belief(job.view), flow().reaches[name].needs)
        assert (found.kind, found.condition) == (BarredKind.LATCH, "earth"), name
    assert job.refused(c.Release("earth", "Ms Lee", "says it is well")) is RefusalReason.LATCHED
    coming = next_queries.next_up(job.view)
    assert (coming.kind, coming.target, coming.step) == (NextKind.RECHECK, "earth-check", step)
    while job.state.run is not None:
        job.answer()
    job.do(c.OpenInspection("earth-check", step))
    job.asked()
    while job.state.run is not None:
        job.answer()
    job.do(c.Release("earth", "Ms Lee, electrician", "bond crimped anew on Monday"))
    assert len(job.believed("earth")) == 2
    last = job.state.releases[-1]
    assert (last.name, last.words) == ("Ms Lee, electrician", "bond crimped anew on Monday")


@pytest.mark.parametrize("name", BOTH)
def test_the_insulation_test_may_charge_what_is_inside_and_says_so(name):
    """500 V on line and neutral: what was measured to be gone is measured again (common practice)."""
    step = flow(name).inspections["earth-check"].step("insulation")
    assert step.may["charge"] == {"charged", "bled"}
    assert "may charge" in step.caution[0].says


# ---- who works alone


def test_nobody_is_told_of_a_second_person_that_the_step_does_not_ask_for():
    """Common practice: a tub is tied, or set on foam or blocks, by one; what two must lift has a reach that asks."""
    for name in BOTH:
        one = flow(name)
        for inspection in one.inspections.values():
            for step in inspection.steps:
                words = f"{step.do} {step.expect}".lower()
                told = any(w in words for w in ("second person", "with two people", "one at each side"))
                if told and step.reach != "talk":
                    assert step_needs(one, step).get("second") == {"here"}, (name, inspection.id, step.id)


@pytest.mark.parametrize(("inspection", "step"), [("tub", "tie"), ("springs", "lengths")])
def test_a_tub_is_held_by_foam_blocks_or_a_strap_before_it_can_drop(inspection, step):
    found = flow().inspections[inspection].step(step)
    assert "foam" in found.do and "blocks" in found.do
    assert "second" not in step_needs(flow(), found)
    held = min(found.do.index(w) for w in ("foam", "blocks"))
    assert held < found.do.index("Tie the tub" if step == "tie" else "Draw each spring")


# ---- why the look round is asked again


def test_a_look_round_that_is_asked_again_says_what_of_it_is_not_known():
    """A panel may have come off for a hook; the wedge is known to be in, and is not why it is asked."""
    job = shake()
    job.come_to("dampers", "look")
    job.do(c.Leave())
    job.do(c.OpenInspection("hooking", "hook"))
    job.asked()
    job.answer()
    job.do(c.OpenInspection("baseline"))
    asked: list[str] = []
    while job.at != "round-front.seen":
        asked.append(job.at)
        job.answer()
        assert len(asked) < 40
    said = last_known.asked_of(job.view, job.step()[1])
    assert said and "Top cover or deck" in said and "Drum wedge" not in said
    lines = [line.plain for block in step_lines(job.view, 74) for line in block]
    assert any(line.startswith("Not known now: ") for line in lines)


@pytest.mark.parametrize("name", BOTH)
def test_who_sees_all_panels_on_can_say_what_they_know_of_the_inside(name):
    for round_ in ("round-front", "round-top"):
        step = flow(name).inspections[round_].step("seen")
        assert "know of" in step.answer("parts").says and "what you know" in step.do


def test_nobody_is_told_to_repair_a_person_who_is_not_there():
    """Alone at a machine that is to be tilted past its angle: it waits, and a break asks again; no word of a repair."""
    job = shake()
    job.come_to("dampers", "way")
    job.answer("further")
    while job.at != "second.here":
        job.answer()
    job.answer("alone")
    assert job.believed("second") == {"away"} and job.at == "map"
    said = machine_queries.barred(job.view, StepRef("dampers", "propped"))
    assert "Second person: not here" in said and "repaired" not in said and "asked again" in said


def test_every_line_of_a_stop_is_true_to_tick_whether_gas_is_smelt_or_not():
    for name in BOTH:
        for stop in flow(name).stops.values():
            assert not any(line.startswith("If ") for line in stop.make_safe), stop.id


def test_a_tub_is_let_go_with_the_electrics_covered_and_the_wedge_out():
    """Tied for its rods, then left with the cover off at a bus that nobody has measured."""
    job = shake(kind="top-hung", motor="inverter", drive="belt")
    job.come_to("rods", "slide")
    assert job.believed("tub") == {"tied"}
    job.do(c.Leave())
    job.do(c.OpenInspection("drive-belt"))
    while job.at != "dead-bus.bus":
        job.answer()
    assert job.believed("service") == {"off"} and job.believed("wedge") == {"in"}
    job.do(c.Leave())
    job.do(c.OpenInspection("bounce-hung"))
    while job.at != "tub.untie":
        as_it_is = job.at == "round-top.seen"  # Tied, wedged, the cover and the top off.
        job.answer(*(("parts", "rear", "front", "cabinet", "hoses") if as_it_is else ()))
    assert job.believed("service") == {"on"} and job.believed("wedge") == {"out"}


def test_a_tub_is_tied_with_nothing_bare_beside_it():
    for name in BOTH:
        assert step_needs(flow(name), flow(name).inspections["tub"].step("tie"))["service"] == {"on"}


def test_who_fills_a_machine_that_fills_on_is_stopped_until_its_valve_is_changed():
    """Seen in the proof: no tap is opened again, and it is not left with its owner in use."""
    drain = flow("washer-no-drain")
    answer = drain.inspections["drain-test"].step("fill").answer("no-stop")
    assert answer.stop == "fills-on" and drain.stops["fills-on"].so["fill"] == {"open"}
    assert drain.conditions["fill"].latch == {"open"}
    for reach in ("wet", "left-in-use"):
        assert "open" not in drain.reaches[reach].needs["fill"]
    assert step_needs(drain, drain.inspections["drain-test"].step("taps"))["fill"] == {"sound", "doubted"}


@pytest.mark.parametrize("step", ["run", "height", "pour"])
def test_water_and_hands_at_the_drain_hose_wait_for_the_cover(step):
    drain = flow("washer-no-drain")
    assert step_needs(drain, drain.inspections["hose"].step(step))["service"] == {"on"}


def test_water_runs_out_of_the_sump_after_the_plug_was_tried():
    for name in BOTH:
        assert step_needs(flow(name), flow(name).inspections["sump"].step("empty"))["verified"] == {"yes"}


def test_a_machine_is_pushed_only_with_all_parts_on():
    for name in BOTH:
        assert flow(name).reaches["push"].needs["parts"] == {"on"}


def test_who_sees_no_water_in_the_proof_is_led_to_the_taps_with_the_plug_out():
    """They are not opened beside a live machine: the answer leads back to the step that needs them open."""
    drain = flow("washer-no-drain")
    answer = drain.inspections["drain-test"].step("fill").answer("no-water")
    assert answer.next.step == "taps" and answer.so["taps"] == {"shut"}
    assert "supply" in drain.inspections["water"].step("open").needs


def test_what_was_measured_charged_stays_on_the_badge():
    job = shake(motor="capacitor-run")
    job.do(c.OpenInspection("drive-belt"))
    while job.at != "dead-capacitor.capacitor":
        job.answer()
    for again in range(3):
        job.read(60)
        run, step = job.step()
        job.do(c.Judge(run.id, step.id))
        if again < 2:
            assert "MAY HOLD CHARGE?" in badge(job.view).words, "asked again, and last seen charged"
    assert job.state.job is JobState.STOPPED and job.believed("charge") == {"charged"}
    assert "MAY HOLD CHARGE" in badge(job.view).words


TURNS = ("ring", "spider", "bearings", "hub", "drive")
"""The repairs in which drum or rotor is turned by hand."""


@pytest.mark.parametrize("fault", TURNS)
def test_a_repair_that_turns_the_rotor_may_have_charged_what_was_measured(fault):
    """As a hand spin does: nothing is taken for dead after it, and the magnets are warned of before it."""
    remedy = flow().faults[fault].remedy
    assert remedy.may["charge"] == {"charged", "bled"}
    assert any("magnets" in c.says and c.word == "warning" for c in remedy.caution)


def test_after_new_bearings_of_a_direct_drive_the_bus_is_measured_before_hands_go_to_the_motor():
    """Proved dead for the repair; the rotor was turned in it; the next hands behind the panel measure anew."""
    job = shake(drive="direct")
    job.do(c.OpenInspection("bearings-direct"))
    while job.at != "bearings-direct.streak":
        job.answer()
    job.answer("streak")
    assert job.believed("charge") == {"bled"} and job.believed("dead") == {"proved"}
    job.do(c.Leave())
    job.do(c.Confirm(("bearings",), "The seal has let go."))
    job.do(c.Prepare("bearings"))
    while job.state.run is not None:
        job.answer()
    job.do(c.RecordRepair("bearings", RepairOutcome.FITTED, reason="Worn."))
    assert "proved" not in job.believed("dead") or len(job.believed("dead")) > 1
    job.do(c.OpenInspection("bearings-direct"))
    asked = job.asked()
    assert {"dead-bus.bus", "dead.volts", "dead.again"} <= set(asked)
