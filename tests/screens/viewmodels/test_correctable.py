"""What may be corrected: what was answered and still counts, as it was said."""

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.screens.viewmodels.correctable import aside_words, entries


def worked():
    job = Job()
    job.come_to_pull()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18", 0, 0, 0))
    job.do(c.TakeReading(run.id, step.id, "4 lbf", 0, 0, 1))
    return job


def test_newest_first_then_the_facts():
    """Readings and answers from the latest back; the machine facts and the customer's words at the end."""
    job = worked()
    found = entries(job.view)
    kinds = [e.kind for e in found]
    assert kinds[:2] == ["reading", "reading"]
    assert kinds[-5:] == [*["fact"] * 4, "complaint"]
    bounce = next(e for e in found if e.sentence == "Three or more")
    assert bounce.title == "Dampers" and found.index(bounce) < len(found) - 5


def test_readings_say_place_number_and_unit():
    """A reading has its place, its number and the unit it was typed in."""
    job = worked()
    second, first = entries(job.view)[:2]
    assert (first.asked, first.sentence) == ("damper 1, out, no. 1", "18 N")
    assert (second.asked, second.sentence) == ("damper 1, out, no. 2", "4 lbf")


def test_what_was_asked_first_is_marked():
    """Correcting what says how the machine stands has that asked again, so it is marked; a finding is not."""
    job = worked()
    found = entries(job.view)
    marked = {e.title for e in found if e.asked_again}
    asked = {job.flow.inspections[r.inspection].title for r in job.state.runs if r.only}
    assert marked and marked == asked | {"Quick checks"}
    assert not any(e.asked_again for e in found if e.title == "Dampers" or e.kind == "fact")


def test_what_no_longer_counts_is_not_offered():
    """A corrected answer is offered as it stands now, once."""
    job = worked()
    entry = next(e for e in entries(job.view) if e.title == "Quick checks")
    job.do(c.Correct(int(entry.key), ("yes",), "looked again"))
    again = [e for e in entries(job.view) if e.title == "Quick checks"]
    assert [e.sentence for e in again] == ["Yes"]


def test_steps_that_only_tell_are_not_offered():
    """There is nothing to correct about 'done'."""
    job = worked()
    assert not any(e.sentence == "Done" for e in entries(job.view))


def test_facts_are_shown_as_words():
    """A fact's value as the flow says it; free text as typed."""
    job = worked()
    facts = {e.key: e.sentence for e in entries(job.view) if e.kind == "fact"}
    assert facts == {"kind": "Front loader", "dampers": "Three", "stacked": "No", "serial": "X1"}


def test_another_kind_says_what_no_longer_counts():
    """As many as the correction then sets aside, by the inspections that are for the other kind alone."""
    job = worked()
    kind = next(e for e in entries(job.view) if e.key == "kind")
    before = {x.seq for x in job.state.entries if not x.aside}
    said = aside_words(job.view, kind, ("top-loader",))
    job.do(c.SetFact("kind", "top-loader", "looked again"))
    gone = before - {x.seq for x in job.state.entries if not x.aside}
    readings = sum(t.seq in gone for t in job.state.reading_records)
    assert readings == 2 and f"{len(gone) - readings} answer" in said and "2 readings" in said
    assert said.endswith("; Dampers.")
    assert aside_words(job.view, kind, ("top-loader",)) == ""


def test_a_fact_that_changes_nothing_says_so():
    """The serial number: all still counts."""
    job = worked()
    serial = next(e for e in entries(job.view) if e.key == "serial")
    assert (
        aside_words(job.view, serial, ("X2",))
        == "No answer and no reading is set aside. What safety rests on may be asked anew."
    )
