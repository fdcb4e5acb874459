"""What is done when time went by, without a program."""

from types import SimpleNamespace

import pytest

from wizard.errors import JournalLost
from wizard.screens.launch.lapse_watch import LapseWatch


class JobAsked:
    """A job that knows less, or can't write that down, once it is touched or beats."""

    def __init__(self, touched=False, beaten=False, overdue=False, lost=False):
        self.touched, self.beaten, self.lost = touched, beaten, lost
        self.opened = SimpleNamespace(session=SimpleNamespace(overdue=overdue), copied=lambda: ())
        self.notice = ()
        self.typed = []

    def touch(self, typed):
        self.typed.append(typed)
        if self.lost:
            raise JournalLost("The disk is gone.")
        return self.touched

    def beat(self, typed):
        self.typed.append(typed)
        return self.beaten


def watched(job, told):
    """A watch over a job that keeps what it calls."""
    return LapseWatch(
        lambda: job,
        lambda: "57",
        lambda _job: told.append("found"),
        lambda _lost: told.append("lost"),
        lambda: told.append("shown"),
    )


@pytest.mark.parametrize(("touched", "told"), [(True, ["found"]), (False, [])])
def test_a_key_touches_the_job_with_what_is_typed(touched, told):
    """True, and said, when less is known since."""
    job, heard = JobAsked(touched=touched), []
    assert watched(job, heard).key() == touched
    assert heard == told and job.typed == ["57"]


@pytest.mark.parametrize(("job", "told"), [
    (JobAsked(beaten=True), ["found", "shown"]),
    (JobAsked(touched=True, overdue=True), ["found", "shown"]),
    (JobAsked(touched=True), []),
])  # fmt: skip
def test_a_beat_shows_what_is_known_no_more(job, told):
    """Nobody at the keys for long counts as a lapse only once it is overdue."""
    heard = []
    watched(job, heard).beat()
    assert heard == told


def test_what_can_t_be_written_down_ends_the_work():
    """The key goes nowhere then."""
    heard = []
    assert watched(JobAsked(lost=True), heard).key() and heard == ["lost"]


def test_without_a_job_nothing_lapses():
    """Home has nothing to forget."""
    heard = []
    watch = watched(None, heard)
    watch.beat()
    assert not watch.key() and heard == []
