"""A key met by a lapse: what was typed is kept, and a lapse can be seen before any key."""

from tests.helpers.jobs import Job


def at_pull() -> Job:
    """A job at a measured step, all that it needs known."""
    job = Job()
    job.come_to("dampers", "pull")
    return job


def test_a_lapse_is_seen_before_a_key_meets_it() -> None:
    """Overdue says so, and writes nothing."""
    job = at_pull()
    assert not job.session.overdue
    job.clock.move(3600)
    before = len(job.records)
    assert job.session.overdue and len(job.records) == before
    assert job.session.touch() and not job.session.overdue


def test_what_stood_in_the_field_is_kept_as_a_draft() -> None:
    """For the step that was on screen, after the lapse in the journal."""
    job = at_pull()
    run = job.state.run.id
    job.clock.move(3600)
    job.session.touch("58")
    assert job.state.drafts == {f"{run}/pull": "58"}
    assert job.believed("supply") == {"live", "cut", "held"}


def test_an_empty_field_keeps_no_draft_and_within_the_time_nothing_does() -> None:
    """Blanks are nothing; within the time nothing is written at all."""
    job = at_pull()
    before = len(job.records)
    assert not job.session.touch("58") and len(job.records) == before
    job.clock.move(3600)
    job.session.touch("  ")
    assert not job.state.drafts
