"""Each session names the one that was begun before it on the same computer, with its seal: what is gone is missed."""

import shutil

import pytest

from tests.helpers.jobs import good
from tests.helpers.stored_sessions import flow_files, import_, store_at
from tests.sessions.test_session_verification import resealed
from wizard.cli.verification_text import lines_of, troubles
from wizard.engine.messages import commands as c
from wizard.errors import JournalLost
from wizard.journal import earlier_session
from wizard.journal.earlier_session import NAME, NONE_NAMED, EarlierSession
from wizard.review.event_text import event_words
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export


def begun(store, count=1):
    """Sessions begun one after the other; their ids."""
    names = []
    for _ in range(count):
        with store.begin(good(), flow_files(), "R. Vale", "T-1") as opened:
            names.append(opened.name)
    return names


def earlier(store, name):
    return store.load(name).records[0].event.earlier


@pytest.fixture
def store(tmp_path):
    return store_at(tmp_path / "home")


def test_each_names_the_one_before_it_with_its_last_seal(store):
    """The first says that none was begun before; a job that went on is named by what was its last event then."""
    first, second = begun(store, 2)
    assert earlier(store, first) == EarlierSession(first=True)
    assert earlier(store, second) == EarlierSession(first, store.load(first).chain)
    with store.resume(second) as opened:
        opened.session.do(c.Pause())
    (third,) = begun(store)
    assert earlier(store, third) == EarlierSession(second, store.load(second).chain)
    with store.resume(second) as opened:
        opened.session.do(c.Pause())
    assert verified(store, third).ok and verified(store, second).ok, "work that goes on departs from nothing"
    assert first in event_words(store.load(second).view, store.load(second).records[0].event)


def test_a_session_that_is_gone_is_missed_and_is_no_fault_of_the_next(store):
    _first, second, third = begun(store, 3)
    seal = store.load(second).chain
    shutil.rmtree(store.home.session_folder(second))
    found = verified(store, third)
    says = " ".join(lines_of(found))
    assert found.ok and "of a session that isn't here" in says and second in says and seal[:4] in says
    assert not any("isn't here" in line for line in lines_of(verified(store, _first)))


def test_a_session_that_was_written_anew_is_seen_by_the_next(store):
    """Whoever seals the earlier one again makes it whole by itself; the next one has the old seal."""
    first, second = begun(store, 2)
    path = store.home.session_folder(first) / "journal.toml"

    def another(events):
        return [{**e, "technician": "S. Ash"} if e["kind"] == "visit" else e for e in events]

    resealed(path, another)
    assert verified(store, first).chain.ok
    found = verified(store, second)
    assert not found.ok and any(first in line and "in none of its events" in line for line in troubles(found))


def test_what_comes_from_another_computer_is_no_link_of_this_one(store, tmp_path):
    """An import changes nothing of which was begun here last."""
    other = store_at(tmp_path / "other")
    (theirs,) = begun(other)
    (mine,) = begun(store)
    export(other, theirs, tmp_path / "x.zip")
    import_(store, tmp_path / "x.zip")
    (after,) = begun(store)
    assert earlier(store, after).session == mine


@pytest.mark.parametrize("data", [b"", b"../../etc/passwd\n", b"\xff\xfe", b"2026-03-02-a" * 200])
def test_a_file_that_holds_no_session_names_none(store, data):
    begun(store)
    (store.root / NAME).write_bytes(data)
    assert earlier(store, begun(store)[0]) == NONE_NAMED


def test_one_that_could_not_be_read_is_named_without_its_seal(store):
    first = begun(store)[0]
    folder = store.home.session_folder(first)
    (folder / "journal.toml").write_bytes(b"")
    (second,) = begun(store)
    assert earlier(store, second) == EarlierSession(first, "")
    shutil.rmtree(folder)
    assert any("no seal of a session that isn't here" in line for line in lines_of(verified(store, second)))


def test_a_disk_that_refuses_the_file_stops_no_job(store, monkeypatch):
    def refuses(_path, _data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(earlier_session, "put", refuses)
    try:
        (name,) = begun(store)
    except JournalLost:  # pragma: no cover - what must not be
        pytest.fail("the job did not begin")
    assert verified(store, name).ok


def test_a_damaged_one_is_a_fault_of_its_own_and_not_of_the_next(store):
    """A byte that flipped on the disk: the next session is whole, and says which one to look at."""
    first, second = begun(store, 2)
    path = store.home.session_folder(first) / "journal.toml"
    data = path.read_bytes()
    path.write_bytes(data.replace(store.load(first).chain.encode(), b"0" * 64))
    found = verified(store, second)
    assert found.ok and any(f"a seal of {first}, which is damaged" in line for line in lines_of(found))
    assert not verified(store, first).ok
