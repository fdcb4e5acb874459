"""What follows on a durable event may fail: state and journal are as one all the same."""

import pytest

from tests.helpers.wandering_jobs import Watched
from wizard.domain.vocabulary import JobState, NextKind
from wizard.engine.messages import commands as c
from wizard.errors import JournalLost
from wizard.journal.journal_reader import read
from wizard.sessions.session_store import Store
from wizard.sessions.trusting.seal_signing import SealSigner
from wizard.trust.key_file import NAME, create


class NobodyKnows(Exception):
    """A kind of error that nothing above knows."""


@pytest.fixture
def job(tmp_path):
    """A job that can be closed."""
    job = Watched(tmp_path)
    job.through("quick")
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    yield job
    job.opened.close()


def written(job):
    """The numbers of the events in its journal."""
    return [event["sequence"] for event in read(job.opened.folder / "journal.toml").events]


def test_an_altered_key_keeps_no_job_from_closing_once(tmp_path, job):
    create(tmp_path)
    path = tmp_path / NAME
    path.write_bytes(path.read_bytes().replace(b"BQYDK2Vw", b"BQYDK2Vv"))
    path.chmod(0o600)
    job.opened.session.do(c.Close())
    assert job.opened.session.state.job is JobState.CLOSED
    assert "not signed" in job.opened.unsigned and NAME in job.opened.unsigned
    assert written(job) == list(range(1, job.opened.session.state.seq + 1))


def test_whatever_is_raised_after_an_event_is_durable_the_state_has_moved(monkeypatch, job):
    """And what else follows is done: here the copy, and the ledger."""
    waited = []

    def fails(*_args):
        raise NobodyKnows("late")

    monkeypatch.setattr(SealSigner, "sign", fails)
    monkeypatch.setattr(type(job.opened._writer._ledger), "kept", property(lambda _self: True))
    monkeypatch.setattr(
        type(job.opened._writer._ledger), "wait", lambda _self, name: waited.append(name) or ""
    )
    with pytest.raises(NobodyKnows):
        job.opened.session.do(c.Close())
    assert job.opened.session.state.job is JobState.CLOSED
    assert waited == [job.opened.name] and job.opened.seal
    assert written(job) == list(range(1, job.opened.session.state.seq + 1))


def test_no_two_events_of_one_number_come_into_a_journal(job):
    """Where a state was left behind for all that, nothing is written on it."""
    session = job.opened.session
    before = session.view
    session.do(c.AddNote("one"))
    session.view = before
    with pytest.raises(JournalLost, match="Open the session again"):
        session.do(c.AddNote("two"))
    assert written(job) == list(range(1, before.state.seq + 2))


def test_a_session_taken_up_again_knows_its_last_number(tmp_path, job):
    job.opened.close()
    with Store(tmp_path, job.store.clock).resume(job.opened.name) as opened:
        seq = opened.session.state.seq
        before = opened.session.view
        opened.session.do(c.AddNote("one"))
        opened.session.view = before
        with pytest.raises(JournalLost):
            opened.session.do(c.AddNote("two"))
        assert opened.session.state.seq == seq
