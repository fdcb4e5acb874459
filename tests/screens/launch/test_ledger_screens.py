"""A job that was closed on the screens goes into the shop's ledger beside them; what waits is taken up at a start."""

import threading
from dataclasses import replace

import pytest

from tests.helpers.jobs import GOOD
from tests.helpers.stage import Stage, stage
from tests.helpers.stored_sessions import SESSION, home_at
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.program import ledger_thread
from wizard.sessions import ledger_keeping
from wizard.sessions.ledger_keeping import LedgerTaken
from wizard.trust.seal_ledger import NAME, append, load_ledger


@pytest.fixture
def store(tmp_path):
    """A home with a closed job that waits for the ledger of a shop, which is there."""
    shop = tmp_path / "shop"
    append(shop, lambda _ledger: ())
    store = replace(home_at(tmp_path / "home"), ledger=shop)
    assert store.ledger_folder.wait(SESSION) == ""
    return store


def ended():
    """Wait until no thread of the ledger is at work."""
    for one in threading.enumerate():
        if one.name == ledger_thread.NAME:
            one.join(20)
            assert not one.is_alive()


async def opened(store, pilot, app, *keys):
    on = Stage(app, pilot, None, store.clock)
    await on.settle()
    await on.press(*keys)
    return on


@pytest.mark.parametrize("keys", [(), ("down", "enter")], ids=["home", "closed"])
async def test_what_waits_is_put_in_at_the_start_and_said(store, keys):
    """On the message line, by home or by the closed job that was opened meanwhile."""
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = await opened(store, pilot, app, *keys)
        for _ in range(100):
            if load_ledger(store.ledger).entries:
                break
            await pilot.pause(0.05)
        await on.settle()
        if not keys:
            assert f"The seal of {SESSION} is in the shop's ledger" in on.text
    ended()
    assert [one.session for one in load_ledger(store.ledger).entries] == [SESSION]
    assert store.ledger_folder.waiting() == ()


async def test_a_ledger_that_is_away_is_said_at_home(store):
    (store.ledger / NAME).unlink()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = await opened(store, pilot, app)
        for _ in range(100):
            if "not in the shop's ledger yet" in on.text:
                break
            await pilot.pause(0.05)
        assert "not in the shop's ledger yet" in on.text
    ended()
    assert store.ledger_folder.waiting() == (SESSION,)


async def test_a_share_that_hangs_holds_up_neither_a_key_nor_the_end(store, monkeypatch):
    """The thread stands still until the program is over; keys work, and it ends."""
    begun, go_on = threading.Event(), threading.Event()

    def hang(_store):
        begun.set()
        go_on.wait(30)
        return LedgerTaken(troubles=("too late",))

    monkeypatch.setattr(ledger_keeping, "take_up", hang)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = await opened(store, pilot, app)
        for _ in range(100):
            if begun.is_set():
                break
            await pilot.pause(0.05)
        assert begun.is_set()
        await on.press("down", "enter")
        assert on.name == "ClosedScreen"
    assert all(one.daemon for one in threading.enumerate() if one.name == ledger_thread.NAME)
    go_on.set()
    ended()


async def test_a_job_that_is_closed_here_is_in_the_ledger_before_anybody_leaves_its_screen(tmp_path):
    """Its paper has its seal first; what stands in the ledger is the seal that is on the screen."""
    append(tmp_path, lambda _ledger: ())

    def to_close(job):
        job.through("quick")
        job.until(NextKind.DECIDE)
        job.do(c.Confirm(()))
        job.until(NextKind.CLOSE)

    async with stage(tmp_path, prepare=to_close) as on:
        assert on.app.store.ledger_folder.waiting() == ()
        on.app.host.act(c.Close())
        await on.settle()
        assert on.name == "ClosedScreen"
        for _ in range(100):
            if load_ledger(tmp_path).entries:
                break
            await on.pilot.pause(0.05)
        (entry,) = load_ledger(tmp_path).entries
        assert entry.chain == on.app.host.controller.opened.seal
        await on.settle()
        assert "is in the shop's ledger: line 1" in on.text
    ended()
