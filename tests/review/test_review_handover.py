"""The customer's summary, read as a customer reads it, from whole jobs on the small test flow."""

from datetime import timedelta, timezone

import pytest
from jobs import Job

from wizard.engine import commands as c
from wizard.engine import derive
from wizard.review.handover import summary
from wizard.review.measured import measured
from wizard.review.order import parts_list

CHAIN = "0123456789abcdef" * 4
PARTS = ("damper x3", "pin-set x1")


def worn(facts=None):
    """A front loader whose dampers were found to pull 18 N."""
    job = Job(facts)
    job.through("quick")
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer("swings")
    job.read(18)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    while job.state.run is not None:
        job.answer()
    job.until("repair")
    return job


def written(job):
    return summary(job.flow, job.state, CHAIN)


def section(text, title):
    """The lines under a heading, up to the next."""
    body = text.split(f"## {title}\n")[1]
    return body.split("\n## ")[0].strip()


@pytest.fixture(scope="module")
def proved():
    """A job found, mended, proved and ready to close."""
    job = worn()
    job.do(c.Mend("dampers-worn", "fitted", PARTS))
    job.until("close")
    return job


def test_customer_finds_their_own_words(proved):
    """The complaint stands there as it was said."""
    assert section(written(proved), "What you told us") == "> It bangs when it starts to spin."


def test_what_was_found_is_in_plain_words(proved):
    """The fault's sentence for the customer, not its name in the trade."""
    found = section(written(proved), "What was found")
    assert found == "- The parts that calm the drum are worn out."


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


def test_gates_readings_are_not_the_customers(proved):
    """The bus voltage belongs into the record, not into the summary."""
    assert "bus" not in written(proved)
    assert {m.inspection for m in measured(proved.flow, proved.state)} == {"dampers", "spin"}
    assert "dead" in {m.inspection for m in measured(proved.flow, proved.state, gates=True)}


def test_mended_machine_has_no_warning_and_no_open_concern(proved):
    """After a proved repair nothing says not to use it, and what was mended is no concern any more."""
    text = written(proved)
    assert "Do not use" not in text and "do not use" not in text
    assert "Keep an eye on" not in text


def test_advice_seal_version_and_people(proved):
    """Hose advice, the flow's notice, the seal in groups of four, the version, both names, the visit and ticket."""
    text = written(proved)
    assert "fill hoses" in section(text, "From now on")
    assert proved.flow.notice in text
    assert "`0123 4567 89ab cdef`" in text
    assert "Flow washer-bounce, version 1" in text
    assert "- Visit 1, 2 March 2026: R. Vale, with M. Oak, ticket T-1" in text
    assert "mended and proved" in section(text, "The record")


def test_days_are_the_technicians(proved):
    """The day is that of the zone handed in."""
    far = timezone(timedelta(hours=-12))
    assert "1 March 2026" in summary(proved.flow, proved.state, CHAIN, far)


def test_declined_work_tells_the_risk():
    """What was declined, the flow's risk, and the words it was told in; the measured value stays bad."""
    job = worn()
    job.do(c.Mend("dampers-worn", "declined", PARTS, "Told that the mounts will break"))
    text = written(job)
    told = section(text, "What you decided against")
    assert "Fit a new set of dampers. Parts: 3 x Damper" in told
    assert "The risk: Worn dampers damage the tub mounts." in told
    assert "What we told you: Told that the mounts will break." in told
    assert section(text, "What was done") == "Nothing was repaired."
    assert "| Before |" not in text and "18 ± 3 N, not good" in text


def test_bar_left_standing_warns_first():
    """Transit bolts declined: the warning comes before everything but the heading, and says why."""
    job = Job()
    job.through("quick", "yes")
    job.do(c.Confirm(("transit-in",)))
    job.do(c.Mend("transit-in", "declined", (), "Told it will break"))
    text = written(job)
    assert text.index("**WARNING. Do not use this machine.**") < text.index("## What you told us")
    assert "> - The transit bolts are in." in text


def test_parts_on_order_ask_not_to_use_it():
    """No warning word where no bar stands, but a plain request; and a parts list to send off."""
    job = worn()
    job.do(c.Mend("dampers-worn", "on-order", PARTS, "supplier says Friday"))
    text = written(job)
    assert "Please do not use the machine until we have fitted the parts." in text
    assert "WARNING" not in text
    assert "3 x Damper" in section(text, "Still to come, parts on order")
    listed = parts_list(job.flow, job.state)
    assert "| 3 | Damper | damper |" in listed and "| 1 | Set of pins | pin-set |" in listed
    assert "What is the serial number? X1" in listed
    assert "supplier says Friday" in listed and "Look at the counterweights." in listed
    assert "maker's list" in listed


def test_parts_list_is_only_for_what_waits(proved):
    """Nothing on order, no list."""
    assert parts_list(proved.flow, proved.state) == ""


def test_parts_list_says_when_no_part_is_named():
    """An order without parts is not an empty table."""
    job = worn()
    job.do(c.Mend("dampers-worn", "on-order"))
    assert "none named" in parts_list(job.flow, job.state)


def test_stopped_job_says_why_whom_to_call_and_what_was_made_safe():
    """A scorched plug: the reason, who comes first, each act done or why not."""
    job = Job()
    job.do(c.Open("dampers"))
    job.answer("no")
    assert job.state.job == "stopped"
    job.do(c.MakeSafe(0))
    job.do(c.MakeSafe(1, "the owner held it already"))
    text = written(job)
    assert "**WARNING. Do not use this machine.**" in text
    assert "Call first: A licensed electrician." in text
    assert "Work was stopped: The plug or the outlet is scorched." in text
    done = section(text, "What was done")
    assert "Switch the breaker off. Done." in done
    assert "Leave the plug alone. Not done: the owner held it already." in done
    assert "Tag the machine" not in done
    assert "work stopped" in section(text, "The record")


def test_no_fault_is_said_as_such():
    """None confirmed: said plainly, and the record agrees."""
    job = Job()
    job.through("quick")
    job.do(c.Confirm(()))
    text = written(job)
    assert "could not confirm any fault" in section(text, "What was found")
    assert "no fault confirmed" in section(text, "The record")


def test_look_that_was_not_good_is_kept_an_eye_on():
    """What was seen to be bad and is not among the faults mended stays in sight."""
    job = Job()
    job.through("quick")
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer("swings")
    job.do(c.Leave())
    job.do(c.Confirm(()))
    assert "Dampers: Three or more." in section(written(job), "Keep an eye on")


def test_markdown_from_people_is_harmless():
    """A complaint with marks of Markdown and HTML stays a complaint."""
    job = worn()
    job.do(c.SetComplaint("# shakes\n<script>x</script> | it *walks*"))
    quote = section(written(job), "What you told us")
    assert quote == "> \\# shakes\n> \\<script\\>x\\</script\\> \\| it \\*walks\\*"


def test_summary_can_be_written_at_any_moment():
    """Whatever has happened so far, there is a summary, and it never raises."""
    job = Job()
    for kind in ("inspect", "decide", "repair", "recheck", "handover", "close"):
        job.until(kind)
        text = written(job)
        assert text.startswith("# Washer that bounces") and text.endswith("\n")
        assert "\n\n\n" not in text
    assert derive.next_up(job.flow, job.state).kind == "close"


ASKS_HANDS = ("pull the plug", "dry hand", "Turn the taps off")


def test_a_machine_out_of_use_sends_nobody_to_its_plug_or_taps():
    """Work stopped at a scorched plug, or a bar that stands: no advice on using it, the flow's notice only.

    Common practice: at a scorched plug the breaker goes off, and nobody touches the plug.
    """
    stopped, barred = Job(), Job()
    stopped.do(c.Open("dampers"))
    stopped.answer("no")
    barred.through("quick", "yes")
    barred.do(c.Confirm(("transit-in",)))
    barred.do(c.Mend("transit-in", "declined", (), "Told it will break"))
    for job in (stopped, barred):
        text = written(job)
        assert "**WARNING. Do not use this machine.**" in text
        assert not [words for words in ASKS_HANDS if words in text]
        assert section(text, "From now on") == f"- {job.flow.notice}"


def test_a_machine_in_use_has_that_advice(proved):
    """What is left out above stands on the paper of a machine that may run."""
    text = section(written(proved), "From now on")
    assert not [words for words in ASKS_HANDS if words not in text]


def test_a_fault_decided_without_its_check_is_called_presumed():
    """Confirmed on a guess, or against a check that came out well: said on the customer's paper, beside the fault."""
    guessed, against = Job(), Job()
    guessed.through("quick")
    against.through("dampers", "settles")
    for job in (guessed, against):
        job.do(c.Confirm(("dampers-worn",), "It is old"))
        assert section(written(job), "What was found") == (
            "- The parts that calm the drum are worn out. (Presumed: not confirmed by a check.)"
        )
    assert "Presumed" not in written(worn())
    guessed.do(c.Confirm(("wiring",), "A plug was seen loose"))
    assert "Presumed" not in written(guessed)  # The flow names no check for it.
