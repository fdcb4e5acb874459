"""Nothing ends a job: whatever raises, wherever, the log keeps all of it, the screen says so, and the job goes on."""

import asyncio
from contextlib import asynccontextmanager

import pytest

from tests.helpers.jobs import GOOD, HandClock
from tests.helpers.stage import Stage, StageJob, stage
from wizard.screens.job.job_map_screen import JobMapScreen
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.launch.home_screen import HomeScreen, _say
from wizard.screens.viewmodels.session_list import Summary
from wizard.sessions.session_store import Store


class Broken(Exception):
    """Made for the test."""


def breaks(*_args, **_options):
    raise Broken("made for the test")


def breaks_once(cls, name):
    """A method that raises at its first call, and does its work from then on."""
    does, raised = getattr(cls, name), []

    def first_breaks(*args, **options):
        if not raised:
            raised.append(True)
            breaks()
        return does(*args, **options)

    return first_breaks


def log(tmp_path):
    return (tmp_path / "trouble.log").read_text(encoding="utf-8")


@asynccontextmanager
async def surviving(tmp_path):
    """The program as it runs in a terminal, with a job at its map."""
    async with stage(tmp_path) as on:
        on.app.survives = True
        yield on


async def until(so, seconds=10.0):
    """Wait until something is so: the pilot can't, since a dead widget would keep it waiting."""
    for _ in range(int(seconds / 0.02)):
        if so():
            return
        await asyncio.sleep(0.02)
    raise AssertionError("It never was so.")


def met(tmp_path, count):
    """Whether so many tracebacks are in the log."""
    return (tmp_path / "trouble.log").exists() and log(tmp_path).count("Traceback") >= count


async def renewed(on):
    """Wait until the screens were made anew and have said why."""
    await until(lambda: (on.app.store.root / "trouble.log").exists())
    await until(lambda: not on.app._renewing)
    await until(lambda: "fault of its own" in " ".join(shown(on).split()))
    await on.settle()
    on.clock.move(1.0)


def shown(on):
    """What is painted; nothing while a screen is being made."""
    try:
        return on.text
    except Exception:
        return ""


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
            broken.setattr(JobMapScreen, "action_undo", breaks, raising=False)
            on.clock.move(1.0)
            on.app.screen.call_later(on.app.screen.run_action, "undo")
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_a_screen_that_can_not_be_filled_once(tmp_path, monkeypatch):
    """What draws the state raises: at its next try it does not."""
    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(JobMapScreen, "project", breaks_once(JobMapScreen, "project"))
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
            await until(lambda: on.name == "HomeScreen" and "fault of its own" in " ".join(shown(on).split()))
        await on.settle()
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
    from wizard.screens.widgets.frame.headline import Headline

    async with surviving(tmp_path) as on:
        with monkeypatch.context() as broken:
            broken.setattr(Headline, "render", breaks_once(Headline, "render"))
            on.app.screen.query_one(Headline).refresh()
            await asyncio.sleep(0.1)
        await goes_on(on, tmp_path)


async def test_too_many_end_the_program(tmp_path):
    """A screen that breaks on and on would keep the machine busy: the fourth within ten seconds ends it."""
    async with stage(tmp_path) as on:
        on.app.survives = True
        for number in range(1, 4):
            on.app.call_later(breaks)
            await until(lambda number=number: met(tmp_path, number) and not on.app._renewing)
        on.clock.move(11)
        on.app.call_later(breaks)
        await until(lambda: met(tmp_path, 4) and not on.app._renewing)
        assert on.app.is_running
    with pytest.raises(Broken):
        async with stage(tmp_path / "again") as on:
            on.app.survives = True
            for number in range(1, 4):
                on.app.call_later(breaks)
                await until(lambda number=number: met(tmp_path / "again", number) and not on.app._renewing)
            on.app.call_later(breaks)
            await until(lambda: not on.app.is_running)


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


async def test_a_photo_that_can_not_be_kept_is_refused_and_the_job_goes_on(tmp_path, monkeypatch):
    """A full disk ended the job; the journal itself had room for a sentence."""
    from wizard.engine.messages import commands as c
    from wizard.journal import attachments
    from wizard.screens.layout.controller import Attach

    photo = tmp_path / "photo\x1b[2J.jpg"
    photo.write_bytes(b"x")

    def full(*_args):
        raise OSError(28, "No space left on device")

    async with stage(tmp_path) as on:
        monkeypatch.setattr(attachments, "place_new", full)
        on.app.host.act(Attach(photo, "The plug"))
        await on.settle()
        said = " ".join(on.part("#message").split())
        assert on.name == "JobMapScreen" and "\\x1b[2J" in said and "was not kept: the disk is full" in said
        on.app.host.act(c.AddNote("No photo of the plug."))
        assert on.job.state.notes[-1].text == "No photo of the plug."


@pytest.mark.parametrize("typed", ["~nosuchuser-9", "~nosuchuser-9/photos", "/no/such/folder"])
async def test_a_folder_that_there_can_not_be_is_said(tmp_path, typed):
    """A user that there isn't ended the program."""
    from wizard.screens.widgets.entry.field import EntryField

    async with stage(tmp_path) as on:
        on.app.host.panel("photo")
        await on.settle()
        on.app.screen.query_one(EntryField).value = typed
        on.app.screen.query_one(EntryField).focus()
        await on.press("enter")
        assert on.name == "PhotoPanel" and "no such" in on.part("#message")


async def test_papers_that_can_not_be_made_are_said(tmp_path, monkeypatch):
    """A record that no program of ours wrote: the screen stands, the log has the traceback."""
    from wizard.screens.job import handover_files

    def odd(*_args, **_options):
        raise KeyError("nowhere")

    async with stage(tmp_path) as on:
        monkeypatch.setattr(handover_files, "customer_handover", odd)
        monkeypatch.setattr(handover_files.paper_files, "write", odd)
        paper = handover_files.handover_now(on.app.host)
        assert "The papers can't be made" in str(paper)
        assert handover_files.hand_over(on.app.host) is None
        await on.settle()
        assert "The papers can't be made" in " ".join(on.part("#message").split())
        assert log(tmp_path).count("KeyError: 'nowhere'") == 2


@pytest.mark.parametrize("key", ["inspection", "step", "goal", "fault", "fact", "stop"])
async def test_a_record_that_names_what_no_flow_has_ends_nothing(tmp_path, key):
    """Under seals that hold, taken up at home by Enter: it is said, or the job is there; home is never lost."""
    from tests.helpers.aid_jobs import at_pull
    from tests.sessions.test_session_verification import resealed

    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive()
    at_pull(job)
    job.opened.close()
    journal = store.home.session_folder(job.opened.name) / "journal.toml"
    resealed(journal, lambda events: [{**e, key: "nowhere"} if e.get(key) else e for e in events])
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        app.survives = True
        on = Stage(app, pilot, None, clock)
        await on.settle()
        for _ in range(2):
            clock.move(20)
            await pilot.press("end")
            clock.move(20)
            await pilot.press("enter")
            await asyncio.sleep(1.0)
            await on.settle()
            assert app.is_running
            clock.move(20)
            if on.name == "MessagePanel":
                await pilot.press("enter")
                await on.settle()
            if app.host.has_job:
                app.host.close_job()
                await on.settle()
            assert on.name == "HomeScreen"


async def test_what_was_read_for_a_home_screen_that_is_gone_ends_nothing(tmp_path):
    """A defect makes the screens anew while a thread reads for the one before: it finds no line to write on."""
    async with stage(tmp_path) as on:
        home = HomeScreen()
        home._found(Summary("2026-03-02-a"))
        home._draw()
        home.refresh_all()
        _say(home, "Nobody reads it.")
        assert on.app.is_running
