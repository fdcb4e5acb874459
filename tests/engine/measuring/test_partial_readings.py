"""Where people are kept safe, and where a repair is proved, a part of the readings passes nothing."""

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import AnswerHow, JobState, RefusalReason, Verdict
from wizard.engine.messages import commands as c


def proving_dead() -> Job:
    """The terminals are bare, and are to be proved dead at three places."""
    job = Job()
    job.do(c.OpenInspection("motor"))
    while job.at != "dead.volts":
        job.answer()
    return job


def test_one_place_of_three_proves_nothing_dead():
    """L-N at 0 V may be an open neutral (common practice: all pairs). Left there, work stops."""
    job = proving_dead()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "0"))
    assert job.refused(c.Judge(run.id, step.id, "no more")) is RefusalReason.READING
    job.do(c.SayUnable(run.id, step.id, "tester died", AnswerHow.UNABLE))
    assert job.state.job is JobState.STOPPED and "yes" not in job.believed("dead")
    assert job.state.answer_records[-1].verdict is None
    assert [h.stop for h in job.state.stops] == ["not-proved"], "nobody measured a voltage"


def test_what_was_read_and_fails_fails_all_the_same():
    """230 V at the first place: the rest can only be worse."""
    job = proving_dead()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "230"))
    job.do(c.SayUnable(run.id, step.id, "it sparked", AnswerHow.UNABLE))
    assert job.state.answer_records[-1].verdict is Verdict.FAIL and job.state.job is JobState.STOPPED
    assert [h.stop for h in job.state.stops] == ["voltage-present"]


def test_a_part_of_a_search_may_still_be_judged():
    """Two dampers of three, with a reason: it proves nothing and harms nobody."""
    job = Job()
    job.come_to_pull()
    run, step = job.step()
    job.do(c.TakeReading(run.id, step.id, "60"))
    job.do(c.Judge(run.id, step.id, "the third one can't be reached"))
    assert job.state.answer_records[-1].reason == "the third one can't be reached"
