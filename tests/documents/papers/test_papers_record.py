"""The technician's record holds what the trade keeps, and what was set aside is there and marked."""

from test_papers_handover import mended, section, stopped, text_of, worn

from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import LimitStatus, NextKind, RepairOutcome, Verdict
from wizard.engine.messages import commands as c
from wizard.flow.model import Band, Limit


def written(job):
    return text_of(technician_record(job.view))


def test_visits_people_flow_and_result():
    """Ticket, times, the technician, the flow with its whole digest, the result and the minutes."""
    job = worn()
    mended(job).until(NextKind.CLOSE)
    text = written(job)
    assert "- Visit 1: 2 March 2026 09:00, technician R. Vale, ticket T-1" in text
    assert job.flow.digest in text
    assert "- Result: repaired and proved" in text
    assert "- Visit 1, Fit a new set of dampers: **fitted**; parts: 3 x Damper, 1 x Set of pins" in text


def test_what_was_cut_off_tried_and_proved_is_there_with_its_time_and_step():
    """Each change that matters for the hands in its order, with what it came of, and the readings behind it."""
    job = worn()
    text = written(job)
    log = section(text, "Safety log").splitlines()
    said = (
        "**Supply: plug or fuse out, with me** (Power off and on)",
        "Drum: still",
        "**Taps: shut, pressure let off** (Taps)",
        "**Terminals: proved dead** (Prove it dead)",
    )
    places = [next(n for n, line in enumerate(log) if words in line) for words in said]
    assert places == sorted(places) and log[places[0]].startswith("- 09:0")
    assert "- L-N: read 0 V with Rated two-pole tester; **0.0 ± 1.0 V**, pass" in text


def test_steps_asked_first_stand_before_what_they_were_asked_for():
    """One section of all that was asked for the dampers, then the dampers; none of a step that was never answered."""
    titles = [line for line in written(worn()).splitlines() if line.startswith("### ")]
    place = titles.index("### Dampers, visit 1")
    assert titles[place - 1] == "### Made sure of first for Dampers, visit 1"
    assert len(titles) == len(set(titles))


def test_a_break_is_in_the_log_with_what_it_cost():
    """What may have changed while nobody was there is no longer known, and why."""
    job = Job()
    job.come_to("dampers")
    job.do(c.Pause())
    assert "**no longer known: Supply, tried" in written(job).split("(a break)")[0].splitlines()[-1]


def test_a_release_is_in_the_log_and_under_its_stop():
    """Who said that it is over, when and in which words."""
    job = stopped()
    job.do(c.Release("outlet", "P. Elm", "New outlet fitted and tested"))
    text = written(job)
    assert "**released: Plug and outlet**, by P. Elm. New outlet fitted and tested." in section(
        text, "Safety log"
    )
    assert "- Released: Plug and outlet, by P. Elm, 2 March 2026 09:0" in section(text, "Work stopped")


def left(job):
    """The rows of the table of how the machine was left: what -> (how, since, known by)."""
    rows = [
        line.strip("|").split("|") for line in section(written(job), "How the machine was left").splitlines()
    ]
    return {cells[0].strip(): tuple(c.strip() for c in cells[1:]) for cells in rows[2:] if len(cells) == 4}


def test_how_the_machine_was_left_says_how_each_is_known():
    """Seen, told and merely done are kept apart; what nobody was asked is named as not known."""
    job = mended(worn())
    job.until(NextKind.CLOSE)
    rows = left(job)
    assert rows["Taps"][0] == "open" and rows["Taps"][2] == "Taps, seen"
    assert rows["Owner"][0] == "told" and rows["Owner"][2].endswith(", done")
    assert rows["Tape at the feet"][2] == "Ready to spin, done"
    assert rows["Drum"][0] == "not known"
    assert "Never asked, so not known: Consent to the repair, sump" in written(job)


def test_what_a_new_visit_cost_is_in_the_table():
    """Nothing is known any more but a latch, and since which day."""
    job = mended(worn())
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    job.clock.move(24 * 3600)
    job.do(c.BeginVisit("R. Vale"))
    rows = left(job)
    assert {how for how, _since, _by in rows.values()} == {"not known"}
    assert {by for _how, _since, by in rows.values()} >= {"a new visit"}


def test_readings_have_unit_tool_repeats_and_mean():
    """A line an item: all repeats, the tool, the mean with its uncertainty, the verdict."""
    line = next(li for li in written(worn()).splitlines() if "damper 2, in" in li)
    assert line == "  - damper 2, in: read 18 N, 18 N, 18 N with Pull scale; **18 ± 3 N**, fail"


def test_what_was_typed_otherwise_is_shown():
    """A value typed in another unit stands there as typed."""
    job = Job()
    job.come_to("dampers", "pull")
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "4 lbf", 0, 0, 0))
    assert "17.7929 N (typed 4 lbf)" in written(job)


def test_limits_used_have_bands_source_and_sheet():
    """The limits that judged, whole, with their source; a service sheet by name."""
    job = Job()
    bands = (Band("low", Verdict.FAIL, 20.0), Band("ok", Verdict.PASS))
    own = Limit(
        id="damper-drag", says="Pull", unit="N", bands=bands, source="Sheet 12", status=LimitStatus.SHEET
    )
    job.do(c.UseSheet("Model 7", "Sheet 12, page 3", (own,)))
    job.through("dampers", "swings")
    text = written(job)
    assert "- Pull: fail below 20 N; pass above. Sheet 12 (service sheet)." in text
    assert "- Service sheet for Model 7: Sheet 12, page 3" in text


def test_left_out_and_not_done_have_their_reason():
    """What was passed over, a step or a whole inspection, says why."""
    job = Job()
    job.do(c.Skip("motor", "no time today"))
    job.come_to("dampers", "pull")
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "no scale"))
    text = written(job)
    assert "- Motor wiring: left out: no time today." in text
    assert "**not done**: no scale." in text


def test_set_aside_is_kept_and_marked():
    """A corrected answer is in its own section and no longer in the work."""
    job = Job()
    job.through("quick")
    seq = job.state.answer_records[-1].seq
    job.do(c.Correct(seq, ("yes",), "looked again"))
    text = written(job)
    work, aside = text.split("## Set aside")
    assert "Quick checks: No" in aside
    assert "Reason: looked again." in work


def test_notes_photos_with_hash_and_place():
    """Notes and photos with time, inspection, SHA-256 and caption."""
    job = Job()
    job.do(c.OpenInspection("quick"))
    job.do(c.AddNote("lint in the sump"))
    job.do(c.AddPhoto("0123456789abcdef.jpg", "ab" * 32, "left damper"))
    text = written(job)
    assert "(Quick checks) lint in the sump" in text
    assert f"photo 0123456789abcdef.jpg, SHA-256 `{'ab' * 32}`: left damper" in text


def test_declined_work_and_what_forbids_a_run_stand_in_the_record():
    """The risk told, and how what forbids a run was left."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, (), "Told twice"))
    text = written(job)
    assert "Risk told: The machine tears itself apart in spin." in text
    assert "Words: Told twice." in text
    assert "| Transit bolts | in | " in text and "| Quick checks, seen |" in text


def test_stop_of_work_is_there_after_the_next_visit():
    """A stop stays in the record when work is taken up again, each line done, not done or open."""
    job = stopped()
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line, "" if line else "breaker locked already"))
    job.do(c.Close())
    job.do(c.BeginVisit("R. Vale", "T-2"))
    text = written(job)
    stop = job.flow.stops["scorched"]
    said = section(text, "Work stopped")
    assert f"visit 1: {stop.says}" in said
    assert f"- {stop.make_safe[0]} (not done: breaker locked already)" in said
    assert f"- {stop.make_safe[1]} (said to be done)" in said
    assert f"- Not released: Plug and outlet. What it takes: {stop.release}" in said
    assert "- Visit 2" in text


def test_record_of_a_job_just_begun():
    """Nothing done yet is said, and nothing raises."""
    text = written(Job())
    assert "Nothing of the machine was made sure of." in text and "Made sure of first, visit 1" in text


def test_fault_decided_on_a_guess_is_not_called_confirmed():
    """The record keeps apart what a check confirmed and what was presumed."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(("dampers-worn", "wiring"), "It is old"))
    text = written(job)
    names = ", ".join(job.flow.faults[f].says for f in ("dampers-worn", "wiring"))
    assert f"Decided on: {names}. (Presumed: not confirmed by a check.)" in text
    assert "Confirmed: Dampers worn (measured)." in written(worn_decided())


def worn_decided():
    """Decided on what was measured."""
    job = worn()
    job.do(c.Confirm(("dampers-worn",)))
    return job


def test_no_fault_is_a_decision_too():
    """None confirmed, none presumed."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(()))
    assert "No fault was confirmed: 1 of 3 looked at." in written(job)
