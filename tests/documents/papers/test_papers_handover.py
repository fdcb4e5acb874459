"""The customer's handover, read as a customer reads it, from whole jobs on the small test flow."""

from dataclasses import replace
from datetime import timedelta, timezone

import pytest

from tests.helpers.jobs import Job
from wizard.documents.content.measurements import measured
from wizard.documents.content.out_of_use import hazards, left_out_of_use, risks
from wizard.documents.document_tree import BulletList, Evidence, Section, Table
from wizard.documents.files.paper_seal import seal_of
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.parts_order import parts_order
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import JobState, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries import next_queries
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_state import JobVisit
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.case_player import play

CHAIN = "0123456789abcdef" * 4
PARTS = (PartFitted("damper", 3), PartFitted("pin-set", 1))


def worn(facts=None):
    """A front loader whose dampers were found to pull 18 N."""
    job = Job(facts)
    job.find_worn()
    job.until(NextKind.REPAIR)
    return job


def mended(job, parts=PARTS):
    """What the repair needs is asked, and it is recorded as fitted."""
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, parts))
    return job


def stopped(facts=None):
    """A job that stopped at a scorched plug."""
    job = Job(facts)
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("scorched")
    assert job.state.job is JobState.STOPPED
    return job


def written(job):
    return text_of(customer_handover(job.view, seal_of(CHAIN)))


def text_of(document):
    return MARKDOWN.write(document).decode()


def block(document, title, kind):
    """The first block of a kind in a section."""
    (found,) = [b for b in document.blocks if isinstance(b, Section) and b.title == title]
    return next(b for b in found.blocks if isinstance(b, kind))


def section(text, title):
    """The lines under a heading, up to the next."""
    body = text.split(f"## {title}\n")[1]
    return body.split("\n## ")[0].strip()


@pytest.fixture(scope="module")
def proved():
    """A job found, mended, proved and ready to close."""
    job = worn()
    mended(job).until(NextKind.CLOSE)
    return job


def test_customer_finds_their_own_words(proved):
    """The complaint stands there as it was said."""
    assert section(written(proved), "What you told us") == "> It bangs when it starts to spin."


def test_what_was_found_is_in_plain_words(proved):
    """The fault's sentence for the customer, not its name in the trade."""
    found = section(written(proved), "What was found")
    assert found == "- The parts that calm the drum are worn out. (Measured.)"


def test_what_was_done_names_the_parts(proved):
    """The remedy with the parts and how many."""
    assert section(written(proved), "What was done") == (
        "- Fit a new set of dampers. Parts: 3 x Damper, 1 x Set of pins."
    )


def test_before_and_after_stand_side_by_side(proved):
    """The worst value before and after, with unit, verdict, what it should be, and whose limit that is."""
    text = section(written(proved), "What was measured")
    row = next(line for line in text.splitlines() if "worst of 6" in line)
    cells = [cell.strip() for cell in row.strip("|").split("|")]
    assert cells[1:] == ["18 ± 3 N, not good", "60 ± 3 N, good", "40 to 80 N"]
    assert "Pull of one damper: Invented for the tests (estimate)." in text


def test_what_only_the_proving_spin_measured_has_no_before(proved):
    """Nothing is invented for the column that has no reading."""
    text = section(written(proved), "What was measured")
    row = next(line for line in text.splitlines() if "feet moved" in line)
    assert "| not measured | 1.0 ± 0.3 mm, good |" in row


def test_what_was_good_and_has_no_pair_is_one_sentence():
    """A long job fills no table: what was good before and needed no repair is named, with its value."""
    job = Job()
    job.through("quick")
    job.through("dampers", "swings")
    text = section(written(job), "What was measured")
    assert "Also measured, and good: Pull of one damper: 60 ± 3 N" in text
    assert "| Pull" not in text


def test_readings_of_the_works_safety_are_not_the_customers(proved):
    """The voltages at the terminals belong into the record, not into the summary."""
    assert "L-N" not in written(proved)
    assert {m.inspection for m in measured(proved.view)} == {"dampers", "spin"}
    assert any(t.place == "L-N" for t in proved.state.reading_records)


def test_mended_machine_has_no_warning_and_no_open_concern(proved):
    """After a proved repair nothing says not to use it, and what was mended is no concern any more."""
    text = written(proved)
    assert "Do not use" not in text and "do not use" not in text
    assert "Keep an eye on" not in text


def test_advice_seal_version_and_people(proved):
    """Hose advice, the flow's notice, the seal in groups of four, the version, the name, the visit and ticket."""
    text = written(proved)
    assert "fill hoses" in section(text, "From now on")
    assert proved.flow.notice in text
    assert "`0123 4567 89ab cdef`" in text
    assert "Flow washer-bounce, version 1" in text
    assert "- Visit 1, 2 March 2026: R. Vale, ticket T-1" in text
    assert "repaired and proved" in section(text, "The record")


def test_days_are_the_technicians(proved):
    """The day is that of the zone handed in."""
    far = timezone(timedelta(hours=-12))
    assert "1 March 2026" in text_of(customer_handover(proved.view, zone=far))


def test_declined_work_tells_the_risk():
    """What was declined, the flow's risk, and the words it was told in; the measured value stays bad."""
    job = worn()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.DECLINED, PARTS, "Told that the mounts will break"))
    text = written(job)
    told = section(text, "What you decided against")
    assert "Fit a new set of dampers. Parts: 3 x Damper" in told
    assert "The risk: Worn dampers damage the tub mounts." in told
    assert "What we told you: Told that the mounts will break." in told
    assert section(text, "What was done") == "Nothing was repaired."
    assert "| Before |" not in text and "18 ± 3 N, not good" in text


def test_what_forbids_a_run_warns_first():
    """Transit bolts declined: the warning comes before everything but the heading, and says why."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, (), "Told it will break"))
    text = written(job)
    assert text.index("**WARNING. Do not use this machine.**") < text.index("## What you told us")
    assert "> - Transit bolts: in." in text and "> - The machine tears itself apart in spin." in text


def test_the_customer_is_warned_of_the_risk_and_not_of_the_technicians_hazards():
    """What is dangerous for whoever works on it stands on no customer's paper, but for the technician it does."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.RecordRepair("transit-in", RepairOutcome.ON_ORDER, (), "supplier says Friday"))
    fault = job.flow.faults["transit-in"]
    assert fault.hazard not in written(job) and f"> - {fault.remedy.risk}" in written(job)
    assert hazards(job.view) == (fault.hazard,) and risks(job.view) == (fault.remedy.risk,)
    fine = worn()
    assert hazards(fine.view) == risks(fine.view) == ()


def test_parts_on_order_ask_not_to_use_it():
    """No warning word where no bar stands, but a plain request; and a parts list to send off."""
    job = worn()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, PARTS, note="supplier says Friday"))
    text = written(job)
    assert "Please do not use the machine until we have fitted the parts." in text
    assert "WARNING" not in text
    assert "3 x Damper" in section(text, "Still to come, parts on order")
    listed = text_of(parts_order(job.view))
    assert "| 3 | Damper | damper |" in listed and "| 1 | Set of pins | pin-set |" in listed
    assert "What is the serial number? X1" in listed
    assert "supplier says Friday" in listed and "Look at the counterweights." in listed
    assert "maker's list" in listed


def test_parts_list_is_only_for_what_waits(proved):
    """Nothing on order, no list."""
    assert parts_order(proved.view) is None


def test_parts_list_says_when_no_part_is_named():
    """An order without parts is not an empty table."""
    job = worn()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER))
    assert "none named" in text_of(parts_order(job.view))


def test_stopped_job_says_why_whom_to_call_and_what_was_made_safe():
    """A scorched plug: the reason, who comes first, each act done or why not."""
    job = stopped()
    job.do(c.MakeSafe("scorched", 0))
    job.do(c.MakeSafe("scorched", 1, "the owner held it already"))
    text = written(job)
    assert "**WARNING. Do not use this machine.**" in text
    stop = job.flow.stops["scorched"]
    assert f"Call first: {stop.call}." in text
    assert f"Work was stopped: {stop.says}" in text
    done = section(text, "What was done")
    first, second, third, _last = stop.make_safe
    assert f"- {first} Said to be done." in done
    assert f"- {second} Not done: the owner held it already." in done
    assert third not in done
    assert "work stopped" in section(text, "The record")


def test_no_fault_is_said_as_such():
    """None confirmed with all looked at: said plainly, and the record agrees. With less: how much was looked at."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(()))
    early = written(job)
    assert "The fault was not found. 1 of 3 looked at." in section(early, "What was found")
    assert "fault not found: 1 of 3 looked at" in section(early, "The record")
    job.through("dampers")
    job.through("motor")
    text = written(job)
    assert "could not confirm any fault" in section(text, "What was found")
    assert "no fault confirmed" in section(text, "The record")


def test_look_to_be_watched_is_kept_an_eye_on():
    """What is to be watched and is not among the faults mended stays in sight, with how it is known."""
    job = Job()
    job.come_to("dampers")
    job.answer("lingers")
    job.do(c.Leave())
    job.do(c.Confirm(()))
    assert section(written(job), "Keep an eye on") == "- Dampers: Two. (Seen.)"


def test_fail_that_nothing_was_done_about_stands_first_with_its_advice():
    """Not among the faults confirmed, and not repaired: before all else that was found."""
    job = worn()
    job.do(c.Confirm(("wiring",), "A plug was seen loose"))
    first, second, *_others = section(written(job), "What was found").splitlines()
    assert first.startswith("- Dampers: Three or more, not good. (Seen.) Nothing was done about it yet.")
    assert second == (
        "- Pull of one damper: 18 ± 3 N, not good; it should be 40 to 80 N. (Measured.) Nothing was done about it "
        "yet. Advice: Fit a new set of dampers."
    )


def test_fail_without_a_confirmed_fault_is_found():
    """What was seen to be bad and is not among the faults confirmed stays in sight."""
    job = Job()
    job.through("quick")
    job.come_to("dampers")
    job.answer("swings")
    job.do(c.Leave())
    job.do(c.Confirm(()))
    assert "- Dampers: Three or more, not good. (Seen.)" in section(written(job), "What was found")


def test_markdown_from_people_is_harmless():
    """A complaint with marks of Markdown and HTML stays a complaint."""
    job = worn()
    job.do(c.SetComplaint("# shakes\n<script>x</script> | it *walks*"))
    quote = section(written(job), "What you told us")
    assert quote == "> \\# shakes\n> \\<script\\>x\\</script\\> \\| it \\*walks\\*"


def test_summary_can_be_written_at_any_moment():
    """Whatever has happened so far, there is a summary, and it never raises."""
    job = Job()
    for kind in NextKind:
        stops = (NextKind.RELEASE, NextKind.CAUSE)
        if kind in (NextKind.FACT, NextKind.COMPLAINT, *stops, NextKind.SKIP, NextKind.LEAVE):
            continue
        job.until(kind)
        text = written(job)
        assert text.startswith("# Washer that bounces") and text.endswith("\n")
        assert "\n\n\n" not in text
    assert next_queries.next_up(job.view).kind is NextKind.CLOSE


ASKS_HANDS = ("pull the plug", "dry hand", "Turn the taps off")


def test_a_machine_out_of_use_sends_nobody_to_its_plug_or_taps():
    """Work stopped at a scorched plug, or a bar that stands: no advice on using it, the flow's notice only.

    Common practice: at a scorched plug the breaker goes off, and nobody touches the plug.
    """
    barred = Job()
    barred.through("quick", "yes")
    barred.do(c.Confirm(("transit-in",)))
    barred.do(c.RecordRepair("transit-in", RepairOutcome.DECLINED, (), "Told it will break"))
    for job in (stopped(), barred):
        text = written(job)
        assert "**WARNING. Do not use this machine.**" in text
        assert not [words for words in ASKS_HANDS if words in text]
        assert section(text, "From now on") == f"- {job.flow.notice}"


def shipped(name):
    """The view at the end of a case of the shake flow."""
    flow = load(folder_of("washer-shake"))
    found = next(one for one in load_cases(folder_of("washer-shake"), flow) if one.id == name)
    return JobView.of(flow, fold_all(play(flow, found).records))


def test_a_machine_left_out_of_use_is_not_told_how_to_use():
    """Proved, and left unplugged and tagged on the owner's wish: do not use it, and no word on taps or loads."""
    out, used = shipped("out-of-use"), shipped("joint-wet")
    text = text_of(customer_handover(out))
    assert "Do not use this machine: we left it out of use." in text and out.state.outcome == "proved"
    assert section(text, "From now on") == f"- {out.flow.notice}"
    assert not [words for words in out.flow.advice if words in text]
    text = text_of(customer_handover(used))
    assert "out of use" not in text and all(words in text for words in used.flow.advice)


def test_how_it_was_left_last_time_says_nothing_of_this_visit():
    """Left out of use, and come back to: no longer said, until it is left again."""
    out = shipped("out-of-use")
    visits = (*out.state.visits, JobVisit(2, "R. Vale", "", "2026-03-04T09:00:00+00:00"))
    again = replace(out.state, visits=visits, belief={}, outcome=None, job=JobState.WORKING)
    assert left_out_of_use(out) and not left_out_of_use(JobView.of(out.flow, again))


def test_a_machine_in_use_has_that_advice(proved):
    """What is left out above stands on the paper of a machine that may run."""
    text = section(written(proved), "From now on")
    assert not [words for words in ASKS_HANDS if words not in text]


def test_a_fault_decided_without_its_check_is_called_presumed():
    """Confirmed on a guess, or against a check that came out well: said on the customer's paper, beside the fault."""
    guessed, against = Job(), Job()
    guessed.through("quick")
    against.through("dampers", "settles")
    for job, more in ((guessed, ""), (against, " Its own check spoke against it: Dampers.")):
        job.do(c.Confirm(("dampers-worn",), "It is old"))
        assert section(written(job), "What was found") == (
            f"- The parts that calm the drum are worn out. (Presumed: not confirmed by a check.){more}"
        )
    assert "Presumed" not in section(written(worn()), "What was found")
    guessed.do(c.Confirm(("wiring",), "A plug was seen loose"))
    assert "works loose. (Presumed: " in written(guessed)  # Nothing that was answered speaks for it.


def test_what_excludes_all_others_is_presumed_while_not_all_was_looked_at():
    """'Normal', confirmed with one of its checks done and the motor not looked at: never measured, on neither paper."""
    job = Job()
    job.through("dampers")
    job.do(c.Confirm(("normal",)))
    found = section(written(job), "What was found")
    assert "Normal" in found and "(Presumed: not confirmed by a check.)" in found and "Measured" not in found
    record = section(text_of(technician_record(job.view)), "Decision and repair")
    assert "Decided on: Normal" in record and "Confirmed:" not in record
    for name in ("quick", "motor"):
        job.through(name)
    assert "Presumed" not in section(written(job), "What was found")


def test_every_fault_says_how_it_is_known():
    """Measured where the check that speaks for it is a reading, presumed where none was made."""
    guessed = Job()
    guessed.through("quick")
    guessed.do(c.Confirm(("dampers-worn",), "It is old"))
    for job, known in ((worn(), Evidence.MEASURED), (guessed, Evidence.PRESUMED)):
        (item,) = block(customer_handover(job.view), "What was found", BulletList).items
        assert [s.evidence for s in item.text] == [known]


def test_cells_of_the_table_say_what_was_not_looked_at(proved):
    """A value is measured; what has none before the repair was not looked at."""
    table = block(customer_handover(proved.view), "What was measured", Table)
    known = {row[0].spans[0].text: [cell.evidence for cell in row[1:3]] for row in table.rows}
    measured_twice = [Evidence.MEASURED, Evidence.MEASURED]
    assert [Evidence.NOT_LOOKED_AT, Evidence.MEASURED] in known.values()
    assert measured_twice in known.values()


def test_a_fact_noted_at_work_says_when():
    """Counted, or put right, once the work had begun: not "when we came", but at its hour; the others stay."""
    job = Job()
    text = section(written(job), "The machine")
    assert text.startswith("As we noted it when we came, from the machine, its papers or your words.\n")
    job.through("quick")
    assert "during the work" not in section(written(job), "The machine")
    job.do(c.SetFact("dampers", "2", "There are two"))
    at = job.state.fact_times["dampers"]
    text = section(written(job), "The machine")
    assert f"Two, noted on 2 March 2026 at {at[11:16]}, during the work" in text
    assert (
        text.count("during the work") == 1
        and "its papers or your words; what we noted later says when." in text
    )
    record = text_of(technician_record(job.view))
    assert f"Two, noted on 2 March 2026 at {at[11:16]}, during the work" in record


def test_advice_is_the_flows(proved):
    """What is said about using the machine stands in the flow, none of it in the program."""
    text = section(written(proved), "From now on").replace("\\", "")
    assert text.splitlines() == [f"- {said}" for said in (*proved.flow.advice, proved.flow.notice)]


OPEN = "What was not looked at could still show a fault."


@pytest.mark.parametrize(
    ("inspections", "said"),
    [
        ((), "Nothing of the search was looked at, so nothing can be said of a fault."),
        (("quick",), f"The fault was not found. 1 of 3 looked at. {OPEN}"),
        (("quick", "dampers"), f"The fault was not found. 2 of 3 looked at. {OPEN}"),
        (("quick", "dampers", "motor"), "We looked and measured, and could not confirm any fault."),
    ],
)
def test_no_more_is_said_of_the_search_than_was_done(inspections, said):
    """Nothing is called measured, or looked at, that was not."""
    job = Job()
    for inspection in inspections:
        job.through(inspection)
    job.do(c.Confirm(()))
    assert section(written(job), "What was found") == said


def test_how_it_was_left_is_said_in_the_owners_words(proved):
    """Power, taps, covers and hoses in the words that the flow has for them; covers that are alike in one line.

    What the flow has no such words for (is it level?) is not on it, nor the tag of a machine that may be used.
    """
    lines = section(written(proved), "How we left the machine").splitlines()
    seen = ("Supply: switched on", "Taps: open", "Hoses: on at both ends")
    assert {f"- {words} (Seen.)" for words in seen} <= set(lines)
    (covers,) = [line for line in lines if line.endswith(": on (Seen.)")]
    assert covers.startswith("- Cover over the electrics, panel over the drive")
    assert not any(says in line for line in lines for says in ("Feet", "Out-of-use tag", "not known"))


def test_a_machine_left_waiting_is_unplugged_shut_off_and_tagged():
    """Parts on order: the plug is out, the taps are shut, the tag is on; how tightly they are shut is not theirs."""
    job = worn()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, PARTS))
    job.until(NextKind.CLOSE)
    lines = section(written(job), "How we left the machine").splitlines()
    said = [line.partition(" (")[0] for line in lines]
    assert {"- Supply: plug or fuse out", "- Taps: shut", "- Out-of-use tag: on the machine"} <= set(said)
    assert all(line.endswith(".)") for line in lines)


def test_what_is_not_known_is_said_as_such():
    """Stopped before anything was touched: nothing is said of a cover that nobody looked at but that."""
    left = section(written(stopped()), "How we left the machine")
    assert "not known" in left and ": on" not in left


def test_every_stop_is_on_the_paper_and_what_nobody_released():
    """Two reasons: both are said, both numbers to call, and for each latch that it is not released."""
    job = stopped()
    job.do(c.StopWork("gas", "It smells of gas in the hall"))
    text = written(job)
    stops = [job.flow.stops[name] for name in ("scorched", "gas")]
    assert f"Call first: {stops[1].call}. {stops[0].call}." in text
    assert all(f"Work was stopped: {stop.says}" in text for stop in stops)
    assert "In our words: It smells of gas in the hall." in text
    done = section(text, "What was done")
    assert "Not released: Plug and outlet." in done and "Not released: Gas." in done


def test_a_released_stop_names_who_released_it_and_when():
    """The name, the day and the words; the machine is no longer out of use for it."""
    job = stopped()
    job.do(c.Release("outlet", "P. Elm", "New outlet fitted and tested"))
    text = written(job)
    done = section(text, "What was done")
    assert "Released: Plug and outlet, by P. Elm, 2 March 2026 09:0" in done
    assert "New outlet fitted and tested." in done and "Not released" not in done
    assert "Plug and outlet: scorched" not in text
