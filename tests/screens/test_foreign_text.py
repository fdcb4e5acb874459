"""What is typed, pasted, or stands in a record is of a fair length, and nothing of it reaches the terminal's ear."""

import re

import pytest
from textual import events

from tests.helpers.jobs import GOOD, HandClock
from tests.helpers.stage import Stage, StageJob, stage
from tests.helpers.terminal_program.painted import rows
from tests.sessions.test_session_verification import resealed
from wizard.foreign.limits import LINE_LENGTH, NAME_LENGTH, TEXT_LENGTH
from wizard.screens.dialogs.prompts import AskText
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.program.base_app import pasted
from wizard.screens.program.paced_driver import BURST, DROPPED, PACE, QUIET, KeysDropped, Pace
from wizard.screens.replay.replay_app import ReplayApp
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.text_area import Words
from wizard.sessions.session_store import Store

TITLE = "\x1b]0;owned\x07\x9b2J\x00"
OBEYED = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]")


def painted(app):
    """Every character of the screen on top, as it goes to the terminal; styles left out."""
    return "\n".join(rows(app))


@pytest.fixture
def forged(tmp_path):
    """A session whose complaint and technician set the terminal's title, under seals that hold."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive(complaint="It bangs.")
    job.opened.close()
    journal = store.home.session_folder(job.opened.name) / "journal.toml"

    def change(events_):
        return [{k: _said(k, v) for k, v in event.items()} for event in events_]

    def _said(key, value):
        if isinstance(value, dict):
            return {k: _said(k, v) for k, v in value.items()}
        return f"{TITLE}{value}" if value in ("It bangs.", "R. Vale") else value

    resealed(journal, change)
    return store, job.opened.name, clock


async def test_home_obeys_nothing_of_a_complaint(forged):
    """It set the terminal's title; now what stood there is seen as its code."""
    store, _name, clock = forged
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(120, 36)) as pilot:
        on = Stage(app, pilot, None, clock)
        await on.settle()
        assert not OBEYED.search(painted(app)) and "\\x1b]0;owned" in on.text


async def test_replay_obeys_nothing_of_a_complaint(forged):
    """At any event of it."""
    store, name, _clock = forged
    app = ReplayApp(store, name)
    async with app.run_test(size=(120, 36)) as pilot:
        seen = []
        for key in ("home", *["right"] * 12, "end"):
            await pilot.press(key)
            await pilot.pause()
            await app.workers.wait_for_complete()
            seen.append(painted(app))
        assert not OBEYED.search("".join(seen)) and "owned" in "".join(seen)


async def test_a_job_obeys_nothing_of_its_record(forged):
    """Resumed, on its map and in its handover."""
    store, name, clock = forged
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(120, 36)) as pilot:
        on = Stage(app, pilot, None, clock)
        app.host.take(store.resume(name))
        await on.settle()
        assert not OBEYED.search(painted(app))


async def test_titles_of_own_flows_are_obeyed_in_nothing(tmp_path):
    """A flow's title cleared the screen."""
    folder = tmp_path / "flows" / "mine"
    folder.mkdir(parents=True)
    (folder / "flow.toml").write_text('[flow]\ntitle = "\\u001b[2Jmine"\n', encoding="utf-8")
    app = SteadfootApp(Store(tmp_path, HandClock()), lambda: {"mine": folder})
    async with app.run_test(size=(80, 24)) as pilot:
        await Stage(app, pilot, None, None).settle()
        assert not OBEYED.search(painted(app)) and "\\x1b[2Jmine" in painted(app)


async def test_fields_have_a_length(tmp_path):
    """A name, a line, a page: what is typed beyond it is not taken."""
    async with stage(tmp_path) as on:
        for widget, most in ((EntryField(most=NAME_LENGTH), NAME_LENGTH), (EntryField(), LINE_LENGTH)):
            assert widget.max_length == most
        on.app.push_screen(AskText("Who?", "", "x" * 5_000, most=NAME_LENGTH))
        await on.settle()
        field = on.app.screen.query_one(EntryField)
        assert field.value == "x" * NAME_LENGTH
        await on.press("end", "y", "y")
        assert field.value == "x" * NAME_LENGTH
        on.app.pop_screen()
        on.app.host.panel("note")
        await on.settle()
        words = on.app.screen.query_one(Words)
        words.text = "x" * TEXT_LENGTH
        words.focus()
        await on.press("y", "y")
        assert len(words.text) == TEXT_LENGTH


async def test_a_pasted_text_is_harmless_and_short(tmp_path):
    """Whatever was on the clipboard."""
    assert pasted(f"a\tb\r\n{TITLE}c") == "a b\n\\x1b]0;owned\\x07\\x9b2J\\x00c"
    assert len(pasted("x" * 400_000)) == len(pasted("\x1b" * 400_000)) == TEXT_LENGTH
    async with stage(tmp_path) as on:
        on.app.host.panel("note")
        await on.settle()
        words = on.app.screen.query_one(Words)
        words.focus()
        on.clock.move(2)
        on.app.post_message(events.Paste(f"wet{TITLE}"))
        await on.settle()
        assert words.text == "wet\\x1b]0;owned\\x07\\x9b2J\\x00"


def test_keys_pass_at_the_pace_of_hands():
    """A line that comes at once does; of 358,000 that come at once, as from a clipboard that no terminal brackets,
    all but the first do not; hands always do.
    """
    pace = Pace()
    assert all(pace.lets(0.0) for _ in range(LINE_LENGTH))
    assert sum(pace.lets(0.0) for _ in range(358_000)) == BURST - LINE_LENGTH
    assert not pace.lets(0.001) and not pace.lets(0.1), "a text is cut once, not here and there"
    assert pace.lets(0.1 + QUIET)
    assert all(pace.lets(10 + n / PACE) for n in range(10_000))


async def test_the_driver_of_a_terminal_is_paced():
    """The class that Textual is given drops them where they come in."""
    from wizard.screens.program.paced_driver import paced

    handed = []

    class Plain:
        def process_message(self, message):
            handed.append(message)

    driver = paced(Plain)()
    for _ in range(2 * BURST):
        driver.process_message(events.Key("a", "a"))
    driver.process_message(events.Paste("x"))
    assert BURST <= len(handed) - 2 < 2 * BURST and isinstance(handed[-1], events.Paste)
    assert [n for n, one in enumerate(handed) if isinstance(one, KeysDropped)] == [len(handed) - 2]
    assert "PacedDriver" in SteadfootApp(Store(GOOD, HandClock()), dict).get_driver_class().__name__


@pytest.mark.parametrize("screen", ["", "n", "F12"])
async def test_it_is_said_that_keys_were_left_out(tmp_path, screen):
    """On the question, where a note is typed, and on a short question."""
    async with stage(tmp_path, (80, 24)) as on:
        await on.press(*([screen.lower()] if screen else []))
        on.app.post_message(KeysDropped())
        await on.pilot.pause()
        assert " ".join(DROPPED.format(most=BURST).split()[:6]) in " ".join(on.text.split())
