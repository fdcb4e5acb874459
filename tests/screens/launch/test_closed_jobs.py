"""A closed job that is looked at from home: nothing is written, however it is left and however long it lies open."""

import os

import pytest

from tests.helpers.jobs import GOOD
from tests.helpers.stage import Stage
from tests.helpers.stored_sessions import SESSION, home_at
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.journal.sealed_block import grouped
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions.trusting.ledger_sessions import seals_of
from wizard.sessions.trusting.seal_signing import SealSigner
from wizard.trust.key_file import create
from wizard.trust.seal_signature import load_signatures


def files(root):
    """Every file of the session with its bytes and its time; locks left out."""
    folder = root / "sessions" / SESSION
    return {
        p.name: (p.read_bytes(), p.stat().st_mtime_ns)
        for p in folder.rglob("*")
        if p.is_file() and p.suffix != ".lock"
    }


@pytest.mark.parametrize("hours", [0, 5, 30])
@pytest.mark.parametrize(
    "keys", [("h",), ("v", "escape", "h"), ("question_mark", "escape", "t", "h"), ("f12",)]
)
async def test_looking_at_a_closed_job_writes_nothing(tmp_path, hours, keys):
    """Opened with Enter, looked at, perhaps left lying for hours, and left: every file of it is as it was."""
    store = home_at(tmp_path)
    before = files(tmp_path)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.press("down", "enter")
        assert on.name == "ClosedScreen"
        store.clock.move(3600.0 * hours)
        app.host.lapses.beat()
        await on.press(*keys)
        assert keys == ("f12",) or on.name == "HomeScreen"
    assert files(tmp_path) == before


async def test_a_job_that_is_put_away_closed_is_in_the_archive(tmp_path):
    """Nobody has to bring it up; looking at it once more reads nothing again."""
    store = home_at(tmp_path)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.press("down", "enter", "h")
        assert on.name == "HomeScreen"
    with ArchiveIndex.open(tmp_path) as index:
        (row,) = index.find(ArchiveFilter()).rows
    assert row.session == SESSION and row.looked and row.verified


async def test_an_archive_that_cannot_be_kept_is_said_at_home(tmp_path):
    """The job is closed all the same."""
    store = home_at(tmp_path)
    (tmp_path / "archive.db").mkdir()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.press("down", "enter", "h")
        assert on.name == "HomeScreen" and "archive" in on.text and "a archive" in on.text
        await on.press("a")
        assert on.name == "HomeScreen" and "archive.db" in "".join(on.text.split())


async def test_what_never_began_is_swept_once_home_is_there(tmp_path):
    """A folder without one whole event, an hour old: it is taken away, and no line of it is left."""
    store = home_at(tmp_path)
    never = tmp_path / "sessions" / "2026-03-02-b-k7m3qd"
    never.mkdir()
    (never / "journal.toml").write_bytes(b"[[event]]\n")
    long_ago = store.clock.wall().timestamp() - 3600
    os.utime(never, (long_ago, long_ago))
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.settle()
        assert not never.exists() and "2026-03-02-b" not in on.text and SESSION in on.text


async def test_a_closed_job_that_was_signed_names_its_key_and_one_that_was_not_says_nothing(tmp_path):
    """On the closed job's screen, at the seal; looking at it makes no signature."""
    store = home_at(tmp_path)
    key = create(tmp_path)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.press("down", "enter")
        assert on.name == "ClosedScreen" and "Signed by key" not in on.text
        await on.press("h")
        folder = store.home.session_folder(SESSION)
        assert load_signatures(folder) == ()
        assert SealSigner(tmp_path, store.clock).sign_again(folder, seals_of(store.home, SESSION))
        await on.press("enter")
        assert on.name == "ClosedScreen" and grouped(key.public) in on.text
