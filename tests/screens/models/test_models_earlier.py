"""What may be corrected: what was answered and still counts, as it was said."""

from jobs import Job

from wizard.engine import commands as c
from wizard.screens.models.earlier import entries


def worked():
    job = Job()
    job.through("quick")
    job.do(c.Open("dampers"))
    while job.at != "dampers.pull":
        job.answer("swings" if job.at == "dampers.bounce" else "")
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "18", 0, 0, 0))
    job.do(c.TakeReading(run.id, step.id, "4 lbf", 0, 0, 1))
    return job


def test_newest_first_then_the_facts():
    """Readings and answers from the latest back; the machine facts at the end."""
    job = worked()
    found = entries(job.flow, job.state)
    kinds = [e.kind for e in found]
    assert kinds[:2] == ["reading", "reading"]
    assert kinds[-4:] == ["fact"] * 4
    assert found[2].said == "Three or more"


def test_readings_say_place_number_and_unit():
    """A reading has its place, its number and the unit it was typed in."""
    job = worked()
    second, first = entries(job.flow, job.state)[:2]
    assert (first.asked, first.said) == ("damper 1, out, no. 1", "18 N")
    assert (second.asked, second.said) == ("damper 1, out, no. 2", "4 lbf")


def test_gates_answers_are_marked():
    """Correcting one of them asks the whole gate again, so it is shown as part of one."""
    job = worked()
    gates = {e.title for e in entries(job.flow, job.state) if e.gate}
    assert gates == {"Isolate the machine"}


def test_what_no_longer_counts_is_not_offered():
    """A corrected answer is offered as it stands now, once."""
    job = worked()
    entry = next(e for e in entries(job.flow, job.state) if e.title == "Quick checks")
    job.do(c.Correct(int(entry.key), "yes", "looked again"))
    again = [e for e in entries(job.flow, job.state) if e.title == "Quick checks"]
    assert [e.said for e in again] == ["Yes"]


def test_steps_that_only_tell_are_not_offered():
    """There is nothing to correct about 'done'."""
    job = worked()
    assert not any(e.said == "Done" for e in entries(job.flow, job.state))


def test_facts_are_shown_as_words():
    """A fact's value as the flow says it; free text as typed."""
    job = worked()
    facts = {e.key: e.said for e in entries(job.flow, job.state) if e.kind == "fact"}
    assert facts == {"kind": "Front loader", "dampers": "Three", "stacked": "No", "serial": "X1"}
