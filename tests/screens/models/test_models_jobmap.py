"""The job map: what there is to do, how each part stands, and what comes next."""

from dataclasses import replace

from jobs import Job

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.screens.models.jobmap import cursor, detail, rows


def by_target(job, kind="inspect"):
    return {r.target: r for r in rows(job.flow, job.state) if r.kind == kind}


def test_fresh_job_lists_all_and_stands_on_the_first():
    """Finding, deciding, proving, handing over; the mark is on what the flow asks first."""
    job = Job()
    found = rows(job.flow, job.state)
    assert [r.target for r in found if r.kind == "inspect"] == ["quick", "dampers", "motor", "hoses", "spin"]
    assert [r.kind for r in found][-2:] == ["handover", "close"]
    assert found[cursor(found)].target == "quick"
    assert sum(r.now for r in found) == 1


def test_gates_on_the_way_are_named():
    """An inspection says which gates lead to it from here; none once it may be worked."""
    job = Job()
    assert by_target(job)["dampers"].gates == ("Isolate the machine",)
    assert by_target(job)["motor"].gates == ("Isolate the machine", "Prove it dead")
    job.isolate()
    assert by_target(job)["dampers"].gates == ()
    assert by_target(job)["motor"].gates == ("Prove it dead",)


def test_results_are_shown_as_words():
    """Each part has a sign and a word for how it stands."""
    job = Job()
    job.through("quick")
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer("swings" if job.at == "dampers.bounce" else "")
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
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    assert by_target(job)["spin"].word == "open"


def test_repair_and_measuring_again_get_their_rows():
    """A confirmed fault is a row until it is dealt with; what its repair must prove is one too."""
    job = Job()
    job.until("repair")
    found = rows(job.flow, job.state)
    row = next(r for r in found if r.kind == "repair")
    assert row.now and row.title == "Fit a new set of dampers" and row.word == "open"
    job.do(c.Mend("dampers-worn", "fitted"))
    found = rows(job.flow, job.state)
    assert next(r for r in found if r.kind == "repair").word == "fitted"
    again = next(r for r in found if r.kind == "recheck")
    assert again.now and again.target == "dampers.pull"


def test_leaving_replaces_proving():
    """With parts on order the machine is left safe; nothing is proved today."""
    job = Job()
    job.until("repair")
    job.do(c.Mend("dampers-worn", "on-order"))
    found = rows(job.flow, job.state)
    assert [r.kind for r in found][-2:] == ["leave", "close"]
    assert not any(r.target == "spin" for r in found)


def test_proof_before_the_last_repair_is_open_again():
    """A spin that was made before the repair proves nothing of it, and the map says so."""
    job = Job()
    job.until("repair")
    job.do(c.Mend("dampers-worn", "fitted"))
    job.until("close")
    assert by_target(job)["spin"].word == "pass"
    assert by_target(job)["hoses"].word == "pass"
    job.do(c.Confirm(("dampers-worn", "wiring"), "the motor too"))
    job.through("dead")
    job.do(c.Mend("wiring", "fitted"))
    assert derive.pending(job.flow, job.state, "hoses")
    assert by_target(job)["hoses"].word == "open"


def test_exactly_one_row_is_next_all_through_a_job():
    """Whatever comes next in the flow's own order has its row, and the close comes last."""
    job = Job()
    for _ in range(40):
        found = rows(job.flow, job.state)
        assert sum(r.now for r in found) == 1, derive.next_up(job.flow, job.state)
        row = found[cursor(found)]
        assert row.ready
        if row.kind == "close":
            return
        job.follow(derive.next_up(job.flow, job.state))
    raise AssertionError("the close never came")


def test_what_a_bar_forbids_is_not_called_open():
    """Where a bar forbids the work on a machine proved dead, its row says so, and why; what it doesn't stays open."""
    job = Job()
    job.do(c.Open("quick"))
    job.answer("yes")
    barring = replace(job.flow.bars["transit"], forbids=("proved-dead",))
    flow = replace(job.flow, bars={**job.flow.bars, "transit": barring})
    found = {r.target: r for r in rows(flow, job.state) if r.kind == "inspect"}
    assert (found["motor"].sign, found["motor"].word) == ("!", "forbidden now")
    assert "The transit bolts are in" in detail(found["motor"])
    assert found["dampers"].word == "open"
    stuck = detail(replace(found["motor"], now=True))
    assert stuck.startswith(
        "Next in the flow's order, and all else was looked at, but forbidden now: x leaves it out."
    )
