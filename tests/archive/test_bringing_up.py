"""The index is what the journals make of it: built, brought up, interrupted, thrown away and made again."""

import contextlib
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import SESSION, home_at, store_at
from wizard.archive import archive_rows
from wizard.archive.archive_index import NAME, ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
from wizard.archive.bringing_up import BringingUp, BroughtUp, bring_up, take
from wizard.archive.session_facts import SessionFacts, SignStanding
from wizard.engine.messages import commands as c
from wizard.errors import JournalError, UsageError
from wizard.sessions import sign_off
from wizard.sessions.sign_off import Ruling, SignOff

ROOT = Path(__file__).parents[2]


@pytest.fixture
def store(tmp_path):
    """Nine proved jobs, in a home of their own."""
    return store_at(learned_home(tmp_path / "home"))


def everything(store):
    """All rows of the index, the newest first."""
    with ArchiveIndex.open(store.root) as index:
        return index.find(ArchiveFilter(order=ArchiveOrder.NEWEST))


def brought_up(store, **how):
    with ArchiveIndex.open(store.root) as index:
        return bring_up(index, store, processes=1, **how)


def test_all_are_read_once_and_looked_at_once(store):
    """The second time nothing is read: no file changed."""
    assert brought_up(store) == BroughtUp(9, 9, 0)
    assert brought_up(store) == BroughtUp(0, 0, 0)
    found = everything(store)
    assert [row.session for row in found.rows] == list(store.home.list_ids()) and found.unappraised == 0
    row = found.rows[0]
    state = store.load(row.session).state
    assert (row.complaint, row.outcome, row.technician, row.ticket, row.events) == (
        state.complaint, "proved", "R. Vale", "T-1", state.seq,
    )  # fmt: skip
    assert row.verified and row.serial == "X1" and row.faults and row.minutes > 0


def test_what_changed_is_read_again_and_what_went_is_forgotten(store):
    """A job that went on, a review, a folder that was taken away, one that came."""
    brought_up(store)
    first, second, third, *_rest = store.home.list_ids()
    with store.resume(first) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-9"))
    chain = store.load(second).chain
    sign_off.sign(
        store.home.session_folder(second),
        SignOff("C. Marsh", "2026-03-04T08:00:00Z", chain, 9, "Seen.", Ruling.ACCEPT),
    )
    shutil.rmtree(store.home.session_folder(third))
    assert brought_up(store) == BroughtUp(2, 2, 1)
    rows = {row.session: row for row in everything(store).rows}
    assert rows[first].job_state == "working" and "S. Ash" in rows[first].technician and third not in rows
    assert (rows[second].standing, rows[second].signed_by, rows[second].risk) == (
        SignStanding.SIGNED,
        "C. Marsh",
        0,
    )


def test_a_sign_off_that_was_overtaken_is_worth_reading(tmp_path):
    """What was signed, and then went on, is not read as it stands."""
    store = home_at(tmp_path)
    chain = store.load(SESSION).chain
    sign_off.sign(
        store.home.session_folder(SESSION),
        SignOff("C. Marsh", "2026-03-04T08:00:00Z", chain, 9, "Seen.", Ruling.ACCEPT),
    )
    brought_up(store)
    assert everything(store).rows[0].reasons == ()
    with store.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-9"))
    brought_up(store)
    (row,) = everything(store).rows
    assert row.standing is SignStanding.CHANGED and "record changed since it was signed" in row.reasons


@pytest.mark.parametrize("stage", list(BringingUp))
def test_broken_off_after_any_batch_it_goes_on_where_it_was(store, monkeypatch, stage):
    """What was kept is not read again; in the end it is the same as of one go."""
    from wizard.archive import bringing_up

    monkeypatch.setattr(bringing_up, "FEW", 4)
    done = brought_up(store, say=lambda what, count, _of: what is not stage or count < 4)
    assert (done.read, done.appraised) == ((4, 0) if stage is BringingUp.READ else (9, 4))
    after = brought_up(store)
    assert (after.read, after.appraised) == ((5, 9) if stage is BringingUp.READ else (0, 5))
    whole = everything(store)
    (store.root / NAME).unlink()
    brought_up(store)
    assert everything(store) == whole


@pytest.mark.skipif(sys.platform == "win32", reason="there is no SIGKILL")
def test_killed_in_the_middle_it_loses_nothing(store, tmp_path):
    """A process that is killed after a batch: the next one finds what was kept, and the whole is that of one go."""
    code = (
        "import sys, time, pathlib\n"
        "from tests.helpers.stored_sessions import store_at\n"
        "from wizard.archive import bringing_up as b\n"
        "from wizard.archive.archive_index import ArchiveIndex\n"
        "b.FEW = 2\n"
        "def say(what, done, of):\n"
        "    print(what, done, flush=True)\n"
        "    time.sleep(60 if done == 4 else 0)\n"
        "    return True\n"
        "store = store_at(pathlib.Path(sys.argv[1]))\n"
        "b.bring_up(ArchiveIndex.open(store.root), store, processes=1, say=say)\n"
    )
    child = subprocess.Popen([sys.executable, "-c", code, str(store.root)], cwd=ROOT, stdout=subprocess.PIPE)
    assert child.stdout is not None
    while b"read 4" not in child.stdout.readline():
        assert child.poll() is None
    os.kill(child.pid, signal.SIGKILL)
    child.wait()
    child.stdout.close()
    assert everything(store).count == 4
    assert brought_up(store) == BroughtUp(5, 9, 0)
    whole = everything(store)
    shutil.copytree(store.root, tmp_path / "copy")
    for path in (tmp_path / "copy").glob(f"{NAME}*"):
        path.unlink()
    copy = store_at(tmp_path / "copy")
    brought_up(copy)
    assert everything(copy) == whole


@pytest.mark.parametrize(
    "made",
    [b"", b"this is no database" * 300, b"SQLite format 3\0" + b"\1" * 5000],
    ids=["empty", "text", "damaged"],
)
def test_what_is_no_index_is_thrown_away(store, made):
    """All in it comes of the journals."""
    (store.root / NAME).write_bytes(made)
    assert brought_up(store).read == 9 and everything(store).count == 9


def test_an_index_of_another_format_is_made_anew(store):
    """Its columns may be others."""
    brought_up(store)
    with sqlite3.connect(store.root / NAME) as db:
        db.execute("UPDATE about SET value = '0' WHERE name = 'format'")
        for name in ("session_queue", "session_newest"):
            db.execute(f"DROP INDEX {name}")
        db.execute("ALTER TABLE session DROP COLUMN maker")
    db.close()
    assert brought_up(store).read == 9 and everything(store).rows[0].maker == ""


def test_the_database_counts_what_it_has_once_there_is_more_of_it(store, monkeypatch):
    """SQLite keeps what it counted in a table of its own; a session more is no reason to count again."""
    monkeypatch.setattr(archive_rows, "AT_ONCE", 5)

    def counted() -> set[str]:
        with contextlib.closing(sqlite3.connect(store.root / NAME)) as db:
            there = db.execute("SELECT count(*) FROM sqlite_master WHERE name = 'sqlite_stat1'").fetchone()[0]
            return {row[0] for row in db.execute("SELECT idx FROM sqlite_stat1")} if there else set()

    with ArchiveIndex.open(store.root) as index:
        index.put([("mark", SessionFacts("2026-03-02-a", "2026-03-02"))])
        with index.begin() as db:
            archive_rows.take_stock(db, index.text)
    assert counted() == set()
    brought_up(store)
    assert {"session_queue", "session_newest", "tag_value", "tag_of"} <= counted()
    with contextlib.closing(sqlite3.connect(store.root / NAME)) as db, db:
        db.execute("DELETE FROM sqlite_stat1")
    with ArchiveIndex.open(store.root) as index, index.begin() as db:
        archive_rows.take_stock(db, index.text)
    assert counted() == set()


def test_a_busy_index_is_said_and_not_thrown_away(store, monkeypatch):
    """Another program writes it for longer than is waited."""
    from wizard.archive import archive_engine

    brought_up(store)
    monkeypatch.setattr(archive_engine, "_pragmas", lambda c, _r: c.execute("PRAGMA busy_timeout=1").close())
    other = sqlite3.connect(store.root / NAME, isolation_level=None)
    other.execute("BEGIN EXCLUSIVE")
    try:
        with pytest.raises(JournalError, match="locked"), ArchiveIndex.open(store.root) as index:
            index.clear()
    finally:
        other.rollback()
        other.close()
    assert everything(store).count == 9


def test_thresholds_of_the_shop_have_all_looked_at_again(store):
    """Flags are found by them; the facts are not read again. A file that is no thresholds is said."""
    brought_up(store)
    (store.root / "flags.toml").write_text("[step-quick]\nshare = 0.9\n", encoding="utf-8")
    assert brought_up(store) == BroughtUp(0, 9, 0)
    (store.root / "flags.toml").write_text("[step-slow]\n", encoding="utf-8")
    with pytest.raises(UsageError, match="no flag 'step-slow'"):
        brought_up(store)


def test_a_damaged_session_is_a_row_of_its_own_and_comes_first(store):
    """What is wrong stands in it; the others are as they were."""
    name = store.home.list_ids()[4]
    path = store.home.session_folder(name) / "journal.toml"
    path.write_bytes(path.read_bytes().replace(b"R. Vale", b"R. Vain", 1))
    brought_up(store)
    with ArchiveIndex.open(store.root) as index:
        row, *others = index.find(ArchiveFilter()).rows
    assert (
        row.session == name and row.risk >= 200 and "seal" in row.trouble and "can't be read" in row.reasons
    )
    assert all(other.verified for other in others) and len(others) == 8


def test_a_paper_that_was_altered_does_not_verify(tmp_path):
    """The journal is whole, and the customer's paper is not what it says."""
    store = home_at(tmp_path)
    paper = store.home.session_folder(SESSION) / "HANDOVER.md"
    paper.write_bytes(paper.read_bytes().replace(b"e", b"a", 1))
    brought_up(store)
    (row,) = everything(store).rows
    assert not row.verified and "HANDOVER.md" in row.wrong and "does not verify" in row.reasons


def test_one_that_was_closed_is_taken_alone(store):
    """As the program does it when a job is closed. It is looked at once more when the one that it names came in."""
    name = store.home.list_ids()[0]
    with ArchiveIndex.open(store.root) as index:
        take(index, store, name)
    (row,) = everything(store).rows
    assert (row.session, row.looked) == (name, True)
    assert brought_up(store) == BroughtUp(8, 9, 0)
    assert brought_up(store) == BroughtUp(0, 0, 0)


def test_nothing_of_a_session_is_written(store):
    """Every file is as it was, its time too."""
    files = {p: (p.stat().st_mtime_ns, p.read_bytes()) for p in store.home.sessions.rglob("*") if p.is_file()}
    brought_up(store)
    assert files == {
        p: (p.stat().st_mtime_ns, p.read_bytes()) for p in store.home.sessions.rglob("*") if p.is_file()
    }


def test_other_processes_read_the_same(store, monkeypatch):
    """Two at a time, and one: the same rows."""
    from wizard.archive import bringing_up

    brought_up(store)
    alone = everything(store)
    (store.root / NAME).unlink()
    monkeypatch.setattr(bringing_up, "FEW", 2)
    began = time.monotonic()
    with ArchiveIndex.open(store.root) as index:
        from tests.helpers.stored_sessions import sound
        from wizard.sessions.session_store import Store

        bring_up(index, Store(store.root, store.clock, sound), processes=2)
    assert everything(store) == alone and time.monotonic() > began


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write anywhere")
def test_a_home_that_can_only_be_read_is_searched(store):
    """Its sessions are read each time."""
    store.root.chmod(0o500)
    try:
        assert brought_up(store).read == 9
    finally:
        store.root.chmod(0o700)


def test_another_process_brings_it_up_for_a_screen(store, monkeypatch):
    """It says how far it is, ends where it is told to, and what it kept is not read again."""
    from wizard.archive import apart
    from wizard.archive.bringing_up import behind

    brought_up(store)
    whole = everything(store)
    (store.root / NAME).unlink()
    monkeypatch.setattr(apart, "FEW", 2)
    said = []
    with ArchiveIndex.open(store.root) as index:
        assert behind(index, store) == 9
        apart.bring_up_apart(
            index, store, lambda *so_far: said.append(so_far) or so_far[0] is BringingUp.READ
        )
        assert said[0] == (BringingUp.READ, 0, 9) and (BringingUp.READ, 9, 9) in said
        apart.bring_up_apart(index, store, lambda *_: True)
        assert behind(index, store) == 0
    assert everything(store) == whole


def test_what_is_wrong_in_the_other_process_is_said(store, monkeypatch):
    """In its own words."""
    from wizard.archive import apart

    monkeypatch.setattr(apart, "behind", lambda *_: 99)
    (store.root / "flags.toml").write_text("[step-slow]\n", encoding="utf-8")
    with ArchiveIndex.open(store.root) as index, pytest.raises(JournalError, match="no flag 'step-slow'"):
        apart.bring_up_apart(index, store, lambda *_: True)
