"""A stop of which nothing could be done: somebody must say who keeps people away before the job is closed."""

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState, RefusalReason
from wizard.engine.messages import commands as c


def stopped(*undone: int) -> Job:
    """Work is stopped for a scorched outlet; these lines of it could not be done."""
    job = Job()
    job.do(c.StopWork("scorched", "It smells of burnt plastic"))
    for line in range(len(job.flow.stops["scorched"].make_safe)):
        job.do(c.MakeSafe("scorched", line, "the owner won't let me" if line in undone else ""))
    return job


def test_nothing_made_safe_wants_a_note_of_who_was_told() -> None:
    """Closing is refused in words, and taken once it stands in the record."""
    job = stopped(*range(len(Job().flow.stops["scorched"].make_safe)))
    assert job.refused(c.Close()) is RefusalReason.CLOSE
    job.do(c.AddNote("Told the owner, who keeps the room locked"))
    job.do(c.Close())
    assert job.state.job is JobState.CLOSED


def test_one_line_that_was_done_is_enough() -> None:
    """The others have their reasons on the paper."""
    job = stopped(1)
    job.do(c.Close())
    assert job.state.job is JobState.CLOSED
