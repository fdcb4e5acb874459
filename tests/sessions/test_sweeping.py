"""What a program that was ended in the middle left behind is gone at the next start, and nothing else is."""

import os

import pytest

from tests.helpers.jobs import good
from tests.helpers.stored_sessions import SESSION, flow_files, home_at, store_at
from wizard.errors import JournalLost
from wizard.journal import durable_io
from wizard.journal.journal_writer import Journal
from wizard.sessions.sweeping import HALF_WRITTEN, NOT_BEGUN, sweep

NOW = 2_000_000_000.0


def aged(path, seconds):
    os.utime(path, (NOW - seconds, NOW - seconds), follow_symlinks=False)


def left(store):
    """Half-written names wherever something is put in place."""
    session = store.home.session_folder(SESSION)
    names = [
        store.root / ".new-7-checked.json",
        store.home.kept / ".new-7-abcd",
        store.home.sessions / ".import-7",
        session / ".new-7-HANDOVER.md",
        session / "attachments" / ".new-7-0123",
    ]
    for path in names:
        if path.parent == store.root or path.suffix == ".md" or "attachments" in path.parts:
            path.write_bytes(b"half")
        else:
            (path / "inner").mkdir(parents=True)
            (path / "inner" / "x").write_bytes(b"half")
    return names


def test_half_written_names_are_swept_once_they_are_old(tmp_path):
    """All of them, and nothing that is somebody's."""
    store = home_at(tmp_path)
    before = {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}
    names = left(store)
    for path in names:
        aged(path, HALF_WRITTEN - 1)
    assert sweep(store.home, NOW) == ()
    for path in names:
        aged(path, HALF_WRITTEN + 1)
    assert set(sweep(store.home, NOW)) == set(names)
    assert {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize("content", [None, b"", b"[[event]]\nsequence = 1\nat = "])
def test_a_job_that_never_began_leaves_nothing(tmp_path, content):
    """A folder without a journal, with an empty one, or with half of its first event: nobody's work is in it."""
    store = home_at(tmp_path)
    folder = store.home.sessions / "2026-03-02-b"
    folder.mkdir()
    if content is not None:
        (folder / "journal.toml").write_bytes(content)
        (folder / "journal.lock").touch()
    aged(folder, NOT_BEGUN - 1)
    assert sweep(store.home, NOW) == () and folder.is_dir()
    aged(folder, NOT_BEGUN + 1)
    assert sweep(store.home, NOW) == (folder,)
    assert store.home.list_ids() == (SESSION,)


def test_a_session_that_holds_anything_stays(tmp_path):
    """One whole event, a photo, a stranger's file, or a lock that is held."""
    store = home_at(tmp_path)
    folder = store.home.session_folder(SESSION)
    aged(folder, 10_000)
    made = store.home.sessions / "2026-03-02-c"
    made.mkdir()
    (made / "photo.jpg").write_bytes(b"x")
    aged(made, 10_000)
    with Journal.create(store.home.sessions / "2026-03-02-d"):
        aged(store.home.sessions / "2026-03-02-d", 10_000)
        assert sweep(store.home, NOW) == ()
    assert store.home.list_ids() == ("2026-03-02-d", "2026-03-02-c", SESSION)


def test_a_home_that_is_not_there_is_nothing_to_sweep(tmp_path):
    """And one whose sessions are a link is left alone."""
    assert sweep(store_at(tmp_path / "none").home, NOW) == ()
    (tmp_path / "sessions").symlink_to(tmp_path / "elsewhere")
    assert sweep(store_at(tmp_path).home, NOW) == ()


@pytest.mark.parametrize("fails", [1, 2])
def test_a_disk_that_is_full_as_a_job_begins_leaves_no_session(tmp_path, monkeypatch, fails):
    """Neither as the journal is made nor as its first event is written."""
    store = store_at(tmp_path)
    store.home.keep_files(
        good().digest, {n: d for n, d in flow_files().items() if not n.startswith("cases/")}
    )
    count = iter(range(1, 100))
    real = durable_io.sync

    def full(descriptor):
        if next(count) >= fails:
            raise OSError(28, "No space left on device")
        real(descriptor)

    monkeypatch.setattr("wizard.journal.durable_io.sync", full)
    monkeypatch.setattr("wizard.journal.journal_writer.sync", full)
    with pytest.raises(JournalLost, match="the disk is full"):
        store.begin(good(), flow_files(), "R. Vale")
    assert store.home.list_ids() == ()
