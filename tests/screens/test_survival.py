"""Nothing ends a job: whatever raises, wherever, the log keeps all of it, the screen says so, and the job goes on."""

import asyncio
from contextlib import asynccontextmanager

from tests.helpers.jobs import GOOD, HandClock
from tests.helpers.stage import Stage, StageJob, stage
from wizard.screens.job.job_map_screen import JobMapScreen
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.launch.home_screen import HomeScreen
from wizard.sessions.session_store import Store


class Broken(Exception):
    """Made for the test."""


def breaks(*_args, **_options):
    raise Broken("made for the test")


def log(tmp_path):
    return (tmp_path / "trouble.log").read_text(encoding="utf-8")


@asynccontextmanager
async def surviving(tmp_path):
    """The program as it runs in a terminal, with a job at its map."""
    async with stage(tmp_path) as on:
        on.app.survives = True
        yield on


async def renewed(on):
    """Wait until the screens were made anew and have said why."""
    await asyncio.sleep(0.8)  # A dead widget would keep the pilot waiting.
    await on.settle()
    on.clock.move(1.0)


async def goes_on(on, tmp_path):
    """The map is there, says what happened, and takes a key; the log has the whole traceback."""
    await renewed(on)
    assert on.name == "JobMapScreen" and "fault of its own (Broken)" in " ".join(on.text.split())
    assert "Traceback" in log(tmp_path) and "in breaks" in log(tmp_path)
    before = on.job.state.seq
    on.clock.move(60)
    await on.press("enter")
    assert on.job.state.seq > before and on.name != "HomeScreen"


async def test_an_act_that_raises(tmp_path, monkeypatch):
    """A key's handler."""
    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(JobMapScreen, "action_undo", breaks)
            on.clock.move(1.0)
            on.app.screen.call_later(on.app.screen.run_action, "undo")
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_a_screen_that_can_not_be_filled_once(tmp_path, monkeypatch):
    """What draws the state raises: at its next try it does not."""
    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(JobMapScreen, "project", breaks)
            on.app.screen.call_later(on.app.screen.refresh_all)
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_a_screen_that_never_can_be_filled(tmp_path, monkeypatch):
    """The job is put away and home is there: the job can be taken up again, and nothing of it is lost."""
    async with surviving(tmp_path) as on:
        name, seq = on.job.opened.name, on.job.state.seq
        with monkeypatch.context() as broken:
            broken.setattr(JobMapScreen, "project", breaks)
            on.app.screen.call_later(on.app.screen.refresh_all)
            await renewed(on)
        assert on.name == "HomeScreen" and not on.app.host.has_job
        assert on.app.store.load(name).state.seq == seq


async def test_a_worker_that_raises(tmp_path):
    """In a thread and in the program's own loop."""

    async def slow():
        raise Broken("made for the test")

    for work, thread in ((breaks, True), (slow, False)):
        async with surviving(tmp_path / str(thread)) as on:
            on.app.run_worker(work, thread=thread)
            await asyncio.sleep(0.1)
            await renewed(on)
            assert on.name == "JobMapScreen" and "(Broken)" in " ".join(on.text.split())
            assert "made for the test" in log(tmp_path / str(thread))


async def test_the_beat_that_raises(tmp_path, monkeypatch):
    """A timer of the program itself."""
    async with surviving(tmp_path) as on:
        on.app.set_timer(0.01, breaks)
        await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_a_callback_of_the_program_that_raises(tmp_path):
    """The program's own loop goes on."""
    async with surviving(tmp_path) as on:
        on.app.call_later(breaks)
        await goes_on(on, tmp_path)


async def test_a_panel_that_raises(tmp_path, monkeypatch):
    """As it is laid over the screen."""
    from wizard.screens.dialogs.note_panel import NotePanel

    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(NotePanel, "body", breaks)
            on.app.host.panel("note")
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_a_drawing_that_raises(tmp_path, monkeypatch):
    """While it is painted."""
    from wizard.screens.widgets.headline import Headline

    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(Headline, "render", breaks)
            on.app.screen.query_one(Headline).refresh()
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_too_many_end_the_program(tmp_path):
    """A screen that breaks on and on would keep the machine busy: the fourth within ten seconds ends it."""
    async with stage(tmp_path) as on:
        on.app.survives = True
        for _ in range(3):
            on.app.call_later(breaks)
            await asyncio.sleep(0.1)
        assert on.app.is_running
        on.clock.move(11)
        on.app.call_later(breaks)
        await asyncio.sleep(0.1)
        assert on.app.is_running
        assert log(tmp_path).count("Traceback") == 4


async def test_a_session_that_can_not_be_followed_is_said_at_home(tmp_path, monkeypatch):
    """Enter on it at home ended the program."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    StageJob(store, clock).opened.close()
    monkeypatch.setattr(Store, "resume", breaks)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, clock)
        await on.settle()
        clock.move(2)
        await on.press("end", "enter")
        await on.settle()
        assert on.name == "MessagePanel" and "can't be followed" in " ".join(on.text.split())
        await on.press("enter")
        assert isinstance(app.screen, HomeScreen) and "made for the test" in log(tmp_path)
