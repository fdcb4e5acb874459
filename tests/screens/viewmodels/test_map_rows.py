"""The job map: what there is to do, how each part stands, and what comes next."""

from dataclasses import replace

import pytest

from tests.engine.guidance.test_after_repair import walked
from tests.helpers.jobs import Job
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.guidance.advice_candidates import act_minutes
from wizard.engine.messages import commands as c
from wizard.engine.queries import inspection_queries, next_queries, proof_queries
from wizard.screens.viewmodels.job_map.map_rows import PASSED, MapMark, asked_first, cursor, detail, rows


def rows_of(job):
    return rows(job.view)


def by_target(job, kind=NextKind.INSPECT):
    return {r.target: r for r in rows_of(job) if r.kind == kind}


def test_fresh_job_lists_all_and_stands_on_the_first():
    """Finding, deciding, proving, handing over; the mark is on what the flow asks first."""
    job = Job()
    found = rows_of(job)
    assert [r.target for r in found if r.kind == "inspect"] == ["quick", "dampers", "motor", "hoses", "spin"]
    assert [r.kind for r in found][-2:] == ["handover", "close"]
    assert found[cursor(found)].target == "quick"
    assert sum(r.now for r in found) == 1


def test_what_is_asked_first_is_in_the_row_with_its_minutes():
    """As many steps as are then asked when each is answered the usual way, and the sum of their minutes."""
    job = Job()
    row = by_target(job)["dampers"]
    job.do(c.OpenInspection("dampers"))
    asked = job.asked()
    job.do(c.Leave())
    later = by_target(job)["dampers"]
    assert asked and set(row.first) >= {job.flow.inspections[a.partition(".")[0]].title for a in asked}
    assert row.way > later.way and row.steps > later.steps
    assert row.way >= sum(act_minutes(job.flow, a) for a in asked)
    (line,) = detail(row, 78)
    assert (
        line.startswith(f"First ({row.steps} steps, {row.way:.0f} min): {row.first[0]}") and len(line) <= 78
    )
    assert detail(row, 400) == [f"First ({row.steps} steps, {row.way:.0f} min): {', '.join(row.first)}."]


def test_nothing_is_asked_before_a_look():
    """A look from where one stands needs nothing, and its row names nothing."""
    row = by_target(Job())["quick"]
    assert (row.first, row.steps, row.way) == ((), 0, 0) and detail(row, 78) == ["Next in the flow's order."]


def test_results_are_shown_as_words():
    """Each part has a sign and a word for how it stands."""
    job = Job()
    job.through("quick")
    job.come_to("dampers", "bounce")
    job.answer("swings")
    job.do(c.Leave())
    job.do(c.Skip("motor", "no time today"))
    found = by_target(job)
    assert (found["quick"].sign, found["quick"].word) == ("✓", "pass")
    assert found["dampers"].word == "begun"
    assert (found["motor"].word, found["motor"].note) == ("left out", "no time today")


def test_what_is_not_for_this_machine_says_so_and_cant_be_opened():
    """A top loader has no dampers: the row stays, with its reason."""
    job = Job({"kind": "top-loader"})
    row = by_target(job)["dampers"]
    assert not row.ready and row.word == "not for this machine" and row.note
    assert not row.now


def test_proofs_are_to_come_until_it_is_decided():
    """Before the decision the proving part is shown, and not as open work."""
    job = Job()
    assert by_target(job)["spin"].word == "to come"
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    assert by_target(job)["spin"].word == "open"


def test_repair_and_measuring_again_get_their_rows():
    """A confirmed fault is a row until it is dealt with; what its repair must prove is one too."""
    job = Job()
    job.until(NextKind.REPAIR)
    found = rows_of(job)
    row = next(r for r in found if r.kind == "repair")
    assert row.now and row.title == "Fit a new set of dampers" and row.word == "open"
    job.fit("dampers-worn")
    found = rows_of(job)
    assert next(r for r in found if r.kind == "repair").word == "fitted"
    again = next(r for r in found if r.kind == "recheck")
    assert again.now and (again.target, again.step) == ("dampers", "pull")


def test_leaving_replaces_proving():
    """With parts on order the machine is left safe; nothing is proved today."""
    job = Job()
    job.until(NextKind.REPAIR)
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, reason="Oil under them."))
    found = rows_of(job)
    assert [r.kind for r in found][-2:] == ["leave", "close"]
    assert not any(r.target == "spin" for r in found)


def test_proof_before_the_last_repair_is_open_again():
    """A spin that was made before the repair proves nothing of it, and the map says so."""
    job = Job()
    job.until(NextKind.REPAIR)
    job.fit("dampers-worn")
    job.until(NextKind.CLOSE)
    assert by_target(job)["spin"].word == "pass"
    assert by_target(job)["hoses"].word == "pass"
    job.do(c.Confirm(("dampers-worn", "wiring"), "the motor too"))
    job.fit("wiring")
    assert inspection_queries.pending(job.view, "hoses")
    assert by_target(job)["hoses"].word == "open"


def test_exactly_one_row_is_next_all_through_a_job():
    """Whatever comes next in the flow's own order has its row, and the close comes last."""
    job = Job()
    for _ in range(40):
        found = rows_of(job)
        assert sum(r.now for r in found) == 1, next_queries.next_up(job.view)
        row = found[cursor(found)]
        assert row.ready
        if row.kind == "close":
            return
        job.follow(next_queries.next_up(job.view))
    raise AssertionError("the close never came")


def stopped_by_gas():
    """A job stopped for gas, made safe, and come back to without anybody having cleared it."""
    job = Job()
    job.do(c.StopWork("gas", "Gas is smelt."))
    for line in range(len(job.flow.stops["gas"].make_safe)):
        job.do(c.MakeSafe("gas", line))
    job.do(c.BeginVisit("R. Vale"))
    return job


def test_what_a_stop_forbids_is_not_called_open():
    """Every inspection is not now, with why, until somebody clears the stop, which is the first row."""
    job = stopped_by_gas()
    first, *others = rows_of(job)
    assert (first.kind, first.target, first.title, first.now) == (
        NextKind.RELEASE,
        "gas",
        "Clear the stop: Gas",
        True,
    )
    for row in others:
        if row.kind == "inspect" and row.mark != "later":
            assert (row.sign, row.word) == ("!", "not now") and row.note.startswith("Gas: smelt")
    job.do(c.Release("gas", "The gas service", "No leak found."))
    first, *others = rows_of(job)
    assert (first.kind, first.target, first.now) == (NextKind.CAUSE, "gas", True)
    assert first.title == "Ask anew: Gas is smelt." and "smell and look anew" in first.why
    assert all(row.word == "not now" for row in others if row.kind == "inspect" and row.mark != "later")
    assert job.ask_causes() == ["before.danger"]
    assert by_target(job)["quick"].word == "open" and rows_of(job)[0].target == "quick"


def test_bolts_left_in_leave_no_proof_but_leaving():
    """What only their repair can change keeps the spin from being made: the machine is left out of use."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Skip("dampers", "no time"))
    job.do(c.Skip("motor", "no time"))
    job.do(c.Confirm(()))
    assert [r.kind for r in rows_of(job)][-2:] == ["leave", "close"]
    assert proof_queries.proof_barred(job.view).startswith("Transit bolts: in")


def test_a_row_that_is_barred_and_next_says_how_to_go_on():
    """Its own words, whole, and the key that leaves it out."""
    row = replace(rows_of(Job())[0], mark=MapMark.BARRED, note="Gas: smelt. Work stays stopped.", now=True)
    assert (row.sign, row.word) == ("!", "not now")
    assert " ".join(detail(row, 40)) == (
        "Next, for all else was looked at; but it can't be done now: x leaves it out. "
        "Gas: smelt. Work stays stopped."
    )


@pytest.mark.parametrize("width", [44, 50, 78])
def test_what_is_asked_first_is_named_as_far_as_there_is_room(width):
    """On one line; what is not named is counted, so that none is lost."""
    row = replace(rows_of(Job())[0], first=("Before", "Power off", "Water", "Drum"), steps=9, way=12.0)
    line = asked_first(row, width)
    assert len(line) <= width and line.startswith("First (9 steps, 12 min): Before")
    named = [name for name in row.first if name in line]
    left = len(row.first) - len(named)
    assert (f" and {left} more." in line) == (left > 0 and line.endswith("."))


def test_what_the_decision_came_before_says_so_and_may_still_be_looked_at():
    """No longer open, and not done either: not looked at; its row opens it all the same."""
    job = Job()
    job.through("quick", "yes")
    assert by_target(job)["dampers"].mark == ""
    job.do(c.Confirm(("transit-in",)))
    row = by_target(job)["dampers"]
    assert (row.word, row.note, row.ready) == ("not looked at", PASSED, True)


def test_the_decision_is_open_again_after_a_proof_that_failed():
    """It still walks with new dampers: what is left isn't decided, whatever was."""
    job = walked(60)
    decision = next(row for row in rows_of(job) if row.kind is NextKind.DECIDE)
    assert (decision.mark, decision.now) == (MapMark.OPEN, True)
    job.do(c.Confirm(()))
    assert next(row for row in rows_of(job) if row.kind is NextKind.DECIDE).mark is MapMark.DONE
