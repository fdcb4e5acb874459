"""What a careless and truthful person was led to by an earlier program, and is not any more.

Common practice: what may fall is set down first; a tub that hangs by less than all its parts is not pressed; a wedge
or a tie was taken out by somebody; whoever goes on saw nothing.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.engine.safety.test_hands_beside_danger import shake
from tests.engine.safety.test_held_tub import answered_to
from tests.helpers.jobs import Job
from wizard.domain.references import DestinationKind
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import TakenOver, Widened
from wizard.engine.queries import last_known, stopped
from wizard.engine.queries.machine_view import badge
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.model.acts import step_needs
from wizard.safety import WideningReason


@cache
def flow(name: str = "washer-shake") -> Flow:
    return load(shipped()[name])


FAR_OFF = {"talk", "look", "arrival", "controls", "set-down", "energise", "run"}
"""Reaches without a hand on the machine but at its controls; 'energise' and 'run' ask for a machine on its feet."""


def test_a_machine_that_may_fall_is_touched_by_nobody_but_two_who_set_it_down():
    for name, reach in flow().reaches.items():
        if name not in FAR_OFF:
            assert "tilted" not in reach.needs["weight"], name
    assert flow().reaches["set-down"].needs["second"] == {"here"}
    lower = flow().inspections["stand"].step("lower")
    assert lower.reach == "set-down" and lower.do.startswith("One at each side")


def test_nothing_is_pressed_or_turned_by_hand_with_a_part_off_or_tied():
    needs = flow().reaches["press"].needs
    assert needs["parts"] == {"on"} and needs["tub"] == {"free"} and needs["wedge"] == {"out"}
    words = (
        "press the tub",
        "push the drum",
        "press it down",
        "turn the drum",
        "turn the basket",
        "rock the basket",
    )
    for inspection in flow().inspections.values():
        for step in inspection.steps:
            if (
                any(w in step.do.lower() for w in (*words, "jog the tub", "push the tub"))
                and step.reach != "look"
            ):
                assert step_needs(flow(), step).get("parts") == {"on"}, (inspection.id, step.id)


@pytest.mark.parametrize("name", ["springs", "springs-base", "rods"])
def test_a_tub_that_hangs_by_less_or_at_a_cracked_hook_is_pressed_no_more(name):
    """What was seen says enough: the look ends the inspection, and the record has the part off."""
    inspection = flow().inspections[name]
    look = inspection.step("look")
    for found in ("off", "broken", "seat" if name == "rods" else "hook"):
        said = look.answer(found)
        assert found not in ("off", "broken") or said.so["parts"] == {"off"}
        if said.next.step:  # At which place it is: only words.
            where = inspection.step(said.next.step)
            assert where.where and where.reach in ("talk", "look")
            assert {answer.next.kind for answer in where.answers} == {DestinationKind.END}
        else:
            assert said.next.kind is DestinationKind.END
    assert step_needs(flow(), look)["parts"] == {"on"}


def test_no_block_is_pushed_on_a_tub_that_hangs_by_less():
    assert step_needs(flow(), flow().inspections["weights"].step("blocks"))["parts"] == {"on"}


def test_the_drum_is_not_turned_by_hand_with_terminals_bare():
    """Common practice: a motor with magnets that is turned makes voltage."""
    assert flow().reaches["press"].needs["service"] == {"on"}


@pytest.mark.parametrize("name", ["washer-shake", "washer-no-drain"])
def test_what_may_fall_is_asked_before_the_plug(name):
    order = list(flow(name).conditions)
    assert order.index("weight") < order.index("supply") < order.index("taps")


def test_what_may_fall_is_set_down_before_a_hand_goes_to_the_plug():
    job = Job()
    job.do(c.OpenInspection("dampers"))
    asked: list[str] = []
    while job.state.run.only and not job.at.startswith("power."):
        asked.append(job.at)
        job.answer(*["tilted"] if job.at == "before.stand" else [])
    assert asked[-2:] == ["second.here", "stand.lower"] and "before.stand" in asked
    assert job.at.startswith("power.")


def wedged() -> Job:
    """The wedge is in."""
    job = Job()
    job.come_to_pull()
    while job.believed("wedge") != {"in"}:
        job.answer()
    return job


def restarted(job: Job) -> None:
    job.session = type(job.session).resume(job.flow, tuple(job.records), job.records.append, job.clock)


def test_a_wedge_whose_removal_stood_on_the_screen_at_the_crash_is_still_named():
    job = wedged()
    act = next(
        a
        for a in job.session.rules.acts
        if "wedge" in a.may and a.establishes and str(a.id).startswith("drum.")
    )
    job.do(c.Leave())
    job.do(c.OpenInspection(act.id.inspection, act.id.step))
    job.asked()
    restarted(job)
    known = last_known.last_known(job.view)["wedge"]
    assert known.values == {"in"} and known.changing


def test_a_slip_taken_back_forgets_no_cover_and_no_wedge():
    job = wedged()
    before = {name: job.believed(name) for name in ("wedge", "front")}
    job.do(c.StopWork("people"))
    job.do(c.WithdrawStop("it was the neighbour's dog"))
    known = last_known.last_known(job.view)
    assert {name: known[name].values for name in before} == before


def test_who_denies_a_wedge_says_who_took_it_out():
    job = wedged()
    job.do(c.Leave())
    restarted(job)
    job.do(c.OpenInspection("spin"))
    while job.at != "map" and not any(a.id == "wedge" for a in job.step()[1].answers):
        job.answer()
    run, step = job.step()
    every = tuple(a.id for a in step.answers if a.usual)
    assert job.refused(c.GiveAnswer(run.id, step.id, every)) is RefusalReason.REASON
    job.do(c.GiveAnswer(run.id, step.id, every, "taken out before the crash"))


def round_of(job: Job):
    """Come to the look round; its run, its step, and the answer in which all is well."""
    while job.at != "map" and not any(a.id == "wedge" for a in job.step()[1].answers):
        job.answer()
    run, step = job.step()
    return run, step, tuple(a.id for a in step.answers if a.usual)


def test_within_a_visit_too_what_is_in_or_off_is_not_ticked_away_without_a_reason():
    """The wedge was put in and a panel taken off just now; one careless 'all is well' doesn't make it so."""
    job = wedged()
    assert job.believed("wedge") == {"in"} and job.believed("front") == {"off"}
    job.do(c.Leave())
    job.do(c.OpenInspection("round-front", "seen"))
    run, step, every = round_of(job)
    assert {"wedge", "front"} <= {x.condition for x in last_known.otherwise(job.view, step)}
    assert job.refused(c.GiveAnswer(run.id, step.id, every)) is RefusalReason.REASON


def test_a_wedge_that_was_left_unticked_is_remembered_as_such():
    """'In, or not known to hold' is no single value, and no reason to forget it at the next restart."""
    job = wedged()
    job.do(c.Leave())
    restarted(job)
    job.do(c.OpenInspection("spin"))
    run, step, every = round_of(job)
    job.do(c.GiveAnswer(run.id, step.id, tuple(i for i in every if i != "wedge"), "so I see it"))
    restarted(job)
    assert "out" not in last_known.last_known(job.view)["wedge"].values


def test_a_correction_that_makes_power_unknown_calls_for_hands_out():
    job = Job()
    job.come_to("dampers", "bounce")
    plug = next(g for g in job.state.answer_records if (g.inspection, g.step) == ("power", "plug"))
    other = next(
        a.id
        for a in job.flow.inspections["power"].step("plug").answers
        if (a.id,) != plug.chosen and not a.stop
    )
    job.do(c.Correct(plug.seq, (other,), "it was another plug"))
    assert badge(job.view).hands_out
    assert job.state.run.only


def test_what_may_fall_or_burn_comes_before_what_reassures_on_the_badge():
    library = flow().conditions
    assert library["weight"].urgent == {"tilted", "blocked", "propped"}
    assert (
        library["parts"].urgent == {"off"}
        and library["heat"].urgent == {"hot"}
        and library["tub"].urgent == {"tied"}
    )
    job = Job()
    job.come_to_pull()
    job.session.view = job.view.at(forged(job, "weight", "tilted"))
    words = badge(job.view).words
    assert words[:2] == ("POWER HELD", "TILTED"), words


def forged(job: Job, condition: str, value: str):
    """The state with this believed; no command says so."""
    from wizard.engine.messages.events import Recorded
    from wizard.engine.state.fold import fold

    event = Widened(why=WideningReason.PERSON, belief={condition: frozenset((value,))})
    return fold(job.state, Recorded(job.state.seq + 1, job.state.at, 0.0, event))


def test_the_cause_of_this_stop_is_what_its_release_asks_about():
    """Three stops latch the stand; only the one of this visit is meant."""
    job = Job()
    job.do(c.StopWork("weak-floor"))
    assert [s.id for s in stopped.causes(job.view, "stand")] == ["weak-floor"]
    assert "builder" in stopped.causes(job.view, "stand")[0].release


def test_another_person_saw_nothing_and_the_record_names_both():
    job = Job()
    job.come_to_pull()
    job.do(c.TakeOver("S. Ash"))
    assert isinstance(
        next(r.event for r in reversed(job.records) if r.event.kind == TakenOver.kind), TakenOver
    )
    assert job.state.visit.who == "R. Vale, then S. Ash"
    assert len(job.believed("supply")) > 1 and len(job.believed("front")) > 1 and job.state.run.only
    assert job.refused(c.TakeOver("S. Ash")) is RefusalReason.LATE
    assert job.refused(c.TakeOver("12")) is RefusalReason.READING


@pytest.mark.parametrize(("hours", "covers"), [(3.9, 1), (4.1, 2)])
def test_after_a_night_nothing_is_believed_though_the_program_ran(hours, covers):
    job = Job()
    job.come_to_pull()
    assert len(job.believed("front")) == 1
    job.clock.move(hours * 3600)
    assert job.session.touch()
    assert len(job.believed("front")) == covers


def test_a_drain_is_run_with_nobody_shut_in():
    needs = flow("washer-no-drain").reaches
    assert needs["run"].needs["shut-in"] == {"nobody"}
    assert needs["left-out-of-use"].needs["shut-in"] == {"nobody"}


def test_what_may_fall_or_move_stays_on_the_badge_until_somebody_looked():
    """A part is off; another person takes over: nobody knows now, and the badge says how it was."""
    job = Job()
    job.do(c.OpenInspection("closing", "unhooked"))
    while job.at != "closing.unhooked":
        job.answer()
    job.answer("off")
    assert "PART OFF" in badge(job.view).words
    job.do(c.TakeOver("S. Ash"))
    assert len(job.believed("parts")) > 1 and "PART OFF?" in badge(job.view).words


def test_nothing_is_pressed_before_it_was_seen_how_the_tub_hangs():
    """And what was seen cracked behind a panel forbids it too."""
    needs = flow().reaches["press"].needs
    assert needs["hang"] == {"sound"} and needs["weight"] == {"standing"}
    look = flow().inspections["hangs"].step("look")
    assert look.reach == "load" and look.answer("off").so["hang"] == {"unsound"} and "hang" not in look.may
    for inspection in flow().inspections.values():
        for step in inspection.steps:
            cracked = [
                a
                for a in step.answers
                if {"hook", "seat", "mount"} & {n for n in a.so if "unsound" in a.so[n]}
            ]
            if cracked and step.reach != "talk":
                assert all(a.so["hang"] == {"unsound"} for a in cracked), (inspection.id, step.id)


def test_a_stop_puts_what_it_says_whatever_was_believed():
    """Seen still before: once work stops because nobody sees it still, the badge doesn't call it so."""
    job = Job()
    job.come_to_pull()
    assert job.believed("motion") == {"still"} and "DRUM STILL" in badge(job.view).words
    job.do(c.StopWork("not-settled"))
    assert job.believed("motion") == {"turning", "still"} and job.believed("heat") == {"hot"}
    assert "DRUM STILL" not in badge(job.view).words


@pytest.mark.parametrize("name", ["washer-shake", "washer-no-drain"])
def test_who_is_alone_at_a_machine_that_may_fall_stops_work_at_once(name):
    """And is told to keep away and whom to call, in place of a map on which nothing can be done."""
    one = flow(name)
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in one.facts}
    job = Job(facts, one)
    job.do(c.OpenInspection("hoses-look" if name == "washer-shake" else "hose"))
    while job.at != "before.stand":
        job.answer()
    job.answer("alone")
    assert [h.stop for h in job.state.stops] == ["may-fall"] and job.believed("weight") == {
        "tilted",
        "propped",
    }
    assert "Keep hands" in one.stops["may-fall"].make_safe[0]


def test_what_waits_for_a_second_person_says_that_work_may_be_stopped_for_it():
    """Propped, the work done, and nobody to set it down with: the visit can't be closed, and the words say what can."""
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}, flow())
    job.do(c.OpenInspection("hoses"))
    while job.state.run is not None:
        answer = {"before.stand": "propped", "second.here": "alone"}.get(job.at)
        job.answer(*([answer] if answer else []))
    job.do(c.OpenInspection("feet"))
    assert job.at == "second.here"
    job.answer("alone")
    with pytest.raises(Refused, match="If it can't wait: stop work"):
        job.do(c.OpenInspection("feet"))


def test_water_that_reached_the_outlet_is_shut_off_after_the_breaker_and_from_the_dry():
    """Its own stop: the breaker first, dry; then the water, which else runs on; who clears it says that it is dry."""
    for name in ("washer-shake", "washer-no-drain"):
        one = flow(name)
        for inspection, step in (("before", "floor"), ("water", "open")):
            answer = one.inspections[inspection].step(step).answer("outlet-wet")
            assert answer.stop == "wet-outlet"
        stop = one.stops["wet-outlet"]
        breaker = next(n for n, line in enumerate(stop.make_safe) if "breaker, with dry hands" in line)
        water = next(n for n, line in enumerate(stop.make_safe) if "shut the water off" in line)
        assert breaker < water and "dry" in stop.make_safe[water] and "dry" in stop.release
        assert one.stops["wet-outlet"].so == {"outlet": frozenset(("stopped",))}


def test_a_wet_outlet_is_released_and_the_job_goes_on_from_its_first_questions():
    """Stopped as a tap was opened; the lines done, the visit closed, released on the next one: outlet and floor are
    asked anew before any hand, and nothing of before is believed.
    """
    job = Job(
        {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}
        | {"kind": "top-hung"},
        flow(),
    )
    job.do(c.OpenInspection("baseline"))
    while job.at != "water.open":
        job.answer()
    job.answer("outlet-wet")
    for line in range(len(flow().stops["wet-outlet"].make_safe)):
        job.do(c.MakeSafe("wet-outlet", line))
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale"))
    with pytest.raises(Refused, match="Work stays stopped"):
        job.do(c.OpenInspection("feet"))
    job.do(c.Release("outlet", "J. Moor, electrician", "Dried, and the outlet changed."))
    asked = job.ask_causes()
    assert asked[0] == "before.danger" and asked.index("power.plug") < asked.index("water.open")
    assert asked[-1] == "water.open"
    job.come_to("baseline", "strike")


def test_no_edge_of_a_top_loader_goes_up_with_water_in_its_tub():
    """Common practice: forty litres more swing the tub as it is tilted, and run out over hands and motor."""
    job = shake(kind="top-hung", feet="self-adjusting-rear")
    job.do(c.OpenInspection("quick", "water"))
    answered_to(job, "quick.water")
    job.answer("standing")
    assert job.believed("water") == {"in"}
    job.do(c.OpenInspection("rear-feet"))
    assert "bail.out" in answered_to(job, "rear-feet.reset")
    assert job.believed("water") == {"out"}
    for reach in ("raise", "move", "under", "lift"):
        assert job.flow.reaches[reach].needs["water"] == {"out"}, reach


def test_a_dryer_that_may_be_loose_is_looked_to_before_anybody_kneels_below_it():
    """Its strap and kit may be undone where taking it down was broken off (common practice)."""
    job = shake(stack="electric", motor="brushed")
    job.do(c.OpenInspection("feet"))
    while job.believed("dryer") != {"strapped"}:
        job.answer()
    job.do(c.OpenInspection("dampers"))
    job.answer("below")
    answered_to(job, "dryer.down")
    assert "loose" in job.believed("dryer")
    job.do(c.Pause())
    asked = answered_to(job, "dryer.down")
    assert "sump.empty" not in asked
    assert "DRYER LOOSE?" in badge(job.view).words
