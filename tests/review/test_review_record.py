"""The technician's record holds what the trade keeps, and what was set aside is there and marked."""

from jobs import Job
from test_review_handover import PARTS, worn

from wizard.engine import commands as c
from wizard.flow.evidence import Band, Limit
from wizard.review.record import record


def written(job):
    return record(job.flow, job.state)


def test_visits_people_flow_and_result():
    """Ticket, times, both people, the flow with its whole digest, the result and the minutes."""
    job = worn()
    job.do(c.Mend("dampers-worn", "fitted", PARTS))
    job.until("close")
    text = written(job)
    assert "- Visit 1: 2 March 2026 09:00, technician R. Vale, second person M. Oak, ticket T-1" in text
    assert job.flow.digest in text
    assert "- Result: mended and proved" in text
    assert "- Visit 1, Fit a new set of dampers: **fitted**; parts: 3 x Damper, 1 x Set of pins" in text


def test_each_gate_entry_is_there_with_time_and_gate():
    """Every change of the safety state, its time, what brought it about, and the gate's readings."""
    job = worn()
    text = written(job)
    assert "not isolated to **isolated** (gate passed: Isolate the machine)" in text
    assert "**proved dead** (gate passed: Prove it dead)" in text
    assert "read 3 V with Two-pole tester; **3.0 ± 0.5 V**, pass" in text


def test_pause_is_a_change_of_state():
    """A break ends the gate, and the record says so."""
    job = Job()
    job.isolate()
    job.do(c.Pause())
    assert "isolated to **not isolated** (a break)" in written(job)


def test_readings_have_unit_tool_repeats_and_mean():
    """A line an item: all repeats, the tool, the mean with its uncertainty, the verdict."""
    line = next(li for li in written(worn()).splitlines() if "damper 2, in" in li)
    assert line == "  - damper 2, in: read 18 N, 18 N, 18 N with Pull scale; **18 ± 3 N**, fail"


def test_what_was_typed_otherwise_is_shown():
    """A value typed in another unit stands there as typed."""
    job = Job()
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer("swings" if job.at == "dampers.bounce" else "")
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "4 lbf", 0, 0, 0))
    assert "17.7929 N (typed 4 lbf)" in written(job)


def test_limits_used_have_bands_source_and_sheet():
    """The limits that judged, whole, with their source; a service sheet by name."""
    job = Job()
    bands = (Band("low", "fail", 20.0), Band("ok", "pass"))
    job.do(
        c.UseSheet(
            "Model 7", "Sheet 12, page 3", (Limit("damper-drag", "Pull", "N", bands, "Sheet 12", "S"),)
        )
    )
    job.do(c.Open("dampers"))
    while job.state.run is not None:
        job.answer("swings" if job.at == "dampers.bounce" else "")
    text = written(job)
    assert "- Pull: fail below 20 N; pass above. Sheet 12 (service sheet)." in text
    assert "- Service sheet for Model 7: Sheet 12, page 3" in text


def test_left_out_and_not_done_have_their_reason():
    """What was passed over, a step or a whole inspection, says why."""
    job = Job()
    job.do(c.Skip("motor", "no time today"))
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer("swings" if job.at == "dampers.bounce" else "")
    run, step = job.step()
    job.do(c.Unable(run.id, step.id, "no scale"))
    text = written(job)
    assert "- Motor wiring: left out. no time today." in text
    assert "**not done**: no scale." in text


def test_set_aside_is_kept_and_marked():
    """A corrected answer is in its own section and no longer in the work."""
    job = Job()
    job.through("quick")
    seq = job.state.given[-1].seq
    job.do(c.Correct(seq, "yes", "looked again"))
    text = written(job)
    work, aside = text.split("## Set aside")
    assert "Quick checks: No" in aside
    assert "Reason: looked again." in work


def test_notes_photos_with_hash_and_place():
    """Notes and photos with time, inspection, SHA-256 and caption."""
    job = Job()
    job.do(c.Open("quick"))
    job.do(c.AddNote("lint in the sump"))
    job.do(c.AddPhoto("0123456789abcdef.jpg", "ab" * 32, "left damper"))
    text = written(job)
    assert "(Quick checks) lint in the sump" in text
    assert f"photo 0123456789abcdef.jpg, SHA-256 `{'ab' * 32}`: left damper" in text


def test_declined_and_bars_and_debts_stand_in_the_record():
    """The risk told, the bar that stands, what is owed."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.Mend("transit-in", "declined", (), "Told twice"))
    text = written(job)
    assert "Risk told: The machine tears itself apart in spin." in text
    assert "Words: Told twice." in text
    assert "Must not: The transit bolts are in. No spin." in text


def test_stop_of_work_is_there_after_the_next_visit():
    """A stop stays in the record when work is taken up again, each line done, not done or open."""
    job = Job()
    job.do(c.Open("dampers"))
    job.answer("no")
    for line in range(3):
        job.do(c.MakeSafe(line, "" if line else "breaker locked already"))
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale", "T-2"))
    text = written(job)
    assert "Work was stopped: The plug or the outlet is scorched." in text
    assert "Switch the breaker off. (not done: breaker locked already)" in text
    assert "- Visit 2" in text


def test_record_of_a_job_just_begun():
    """Nothing done yet is said, and nothing raises."""
    text = written(Job())
    assert "The machine was never isolated." in text and "No inspection was begun." in text
