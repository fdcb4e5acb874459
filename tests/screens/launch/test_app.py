"""The program as a whole: home, help, themes, size, leaving, a disk that refuses, a defect of its own."""

import shutil
import threading

import pytest

from tests.helpers.stage import GOOD, SIZES, HandClock, Stage, StageJob, stage
from tests.helpers.terminal_program.painted import strips
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.platform import crash_log
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions.session_store import Store

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


@both
async def test_home_says_its_name_and_how_to_begin(tmp_path, size):
    """With no session there is nothing to take up: Enter begins the one job that there is, and the foot says so."""
    clock = HandClock()
    app = SteadfootApp(Store(tmp_path, clock), lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=size) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "Steadfoot" in s.text and "Begin a new job" in s.text
        assert "Local codes" in s.text and "▸ Begin a new job: Washer that bounces" in s.text
        assert "Enter begin  n new job" in s.text and "take" not in s.text
        await s.press("f1")
        assert "Begin the job of the marked line." in s.text and "Up and Down mark a line" in s.text
        assert "Stop work now" not in s.text
        await s.press("escape", "enter")
        assert "Who does this job?" in s.text
        await s.type("R. Vale")
        await s.settle()
        assert s.name == "QuestionScreen" and "DANGER" in s.text
        await s.usual()
        assert s.name == "FactScreen" and s.app.host.controller.state.visit.technician == "R. Vale"


async def test_enter_begins_the_marked_flow_or_takes_up_the_marked_session(tmp_path):
    """A line for each flow, then the sessions; the foot says what Enter does with the marked one."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive(complaint="It walks.")
    job.opened.close()
    other = tmp_path / "other"
    shutil.copytree(GOOD, other)
    main = (other / "flow.toml").read_text(encoding="utf-8")
    (other / "flow.toml").write_text(main.replace('title = "', 'title = "Another ', 1), encoding="utf-8")
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD, "other": other})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "▸ 2026-03-02-a" in s.text and "Enter take up  Up Down choose  n new job" in s.text
        await s.press("up")
        assert "▸ Begin a new job: Another" in s.text and "Enter begin" in s.text
        await s.press("enter")
        await s.type("S. Ash")
        await s.settle()
        assert s.app.host.controller.flow.title.startswith("Another")
        assert s.app.host.controller.state.visit.technician == "S. Ash", (
            "in the place of the name that was offered"
        )


@pytest.mark.parametrize("text", ["[flow\n", "flow = 3\n", "a = " + "[" * 5000])
async def test_a_flow_that_cant_be_read_stands_by_its_folder(tmp_path, text):
    """Home is there all the same, and beginning it says what is wrong."""
    folder = tmp_path / "spoilt"
    shutil.copytree(GOOD, folder)
    (folder / "flow.toml").write_text(text, encoding="utf-8")
    clock = HandClock()
    app = SteadfootApp(Store(tmp_path / "home", clock), lambda: {"spoilt": folder})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "▸ Begin a new job: spoilt" in s.text
        await s.press("enter")
        await s.type("R. Vale")
        await s.settle()
        assert "It can't be opened" in s.text and "flow.toml" in s.text


@both
async def test_home_lists_the_sessions_newest_first_and_takes_one_up(tmp_path, size):
    """Id, how it stands, and the complaint; Enter opens the marked one."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    for words in ("It walks.", "It bangs at the start."):
        job = StageJob(store, clock)
        job.arrive(complaint=words)
        job.opened.close()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=size) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert s.text.index("2026-03-02-b") < s.text.index("2026-03-02-a")
        assert "under way" in s.text and "It walks." in s.text
        assert "▸ 2026-03-02-b" in s.text
        await s.press("down", "enter")
        await s.settle()
        assert s.app.host.controller.state.complaint == "It walks." and s.name == "JobMapScreen"


async def test_the_newest_job_is_marked_only_while_it_is_under_way(tmp_path):
    """A closed one is not; and whoever has pressed a key keeps the mark where it is."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive()
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    job.opened.close()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "▸ Begin a new job" in s.text and "repaired and proved" in s.text
        other = StageJob(store, clock)
        other.arrive()
        other.opened.close()
        await s.press("up")
        app.screen.refresh_all()
        await s.settle()
        assert "2026-03-02-b" in s.text and "under way" in s.text and "▸ Begin a new job" in s.text


async def test_an_enter_on_its_way_while_the_mark_moves_takes_nothing(tmp_path):
    """It was meant for the line marked before; a quarter of a second later Enter counts."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive()
    job.opened.close()
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        await pilot.press("enter")  # No time passes on the hand's clock.
        await s.settle()
        assert s.name == "HomeScreen" and app.host.has_job is False
        await s.press("enter")
        await s.settle()
        assert s.name == "JobMapScreen"


async def test_a_session_that_can_t_be_read_is_said_to_be_so(tmp_path):
    """It doesn't hide the others, and Enter says why."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    job.arrive()
    job.opened.close()
    journal = tmp_path / "sessions" / "2026-03-02-a" / "journal.toml"
    journal.write_bytes(journal.read_bytes().replace(b"R. Vale", b"R. Hill"))
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "can't be read" in s.text
        await s.press("down", "enter")
        await s.settle()
        assert s.app.host.has_job is False and "journal.toml" in s.text


async def test_keys_while_a_job_is_being_opened_begin_no_other(tmp_path):
    """Enter or F1 on the home screen that is about to go lays nothing over the job; then the keys work."""
    clock, may = HandClock(), threading.Event()
    job = StageJob(Store(tmp_path, clock), clock)
    job.arrive()
    job.opened.close()

    class Slow(Store):
        def resume(self, name):
            assert may.wait(10)
            return Store.resume(self, name)

    app = SteadfootApp(Slow(tmp_path, clock), lambda: {"washer-bounce": GOOD}, resume=job.opened.name)
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        for key in ("enter", "n", "f1"):
            await pilot.press(key)
            assert s.name == "HomeScreen"
        may.set()
        await s.settle()
        assert s.name == "JobMapScreen" and s.app.host.controller.state.session == job.opened.name
        clock.move(1.0)
        await s.press("f1")
        assert s.name == "HelpPanel"


async def test_a_session_that_another_program_holds_is_not_opened(tmp_path):
    """One writer at a time, in words."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    job = StageJob(store, clock)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD}, resume=job.opened.name)
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        assert "It can't be opened" in s.text and s.app.host.has_job is False
        await s.press("escape")
        assert s.name == "HomeScreen"
    job.opened.close()


async def test_a_broken_flow_is_not_begun_and_its_problems_are_told(tmp_path):
    """Each with its place."""
    folder = tmp_path / "flow"
    shutil.copytree(GOOD, folder)
    spoilt = (folder / "limits.toml").read_text(encoding="utf-8").replace('unit = "N"', 'unti = "N"', 1)
    (folder / "limits.toml").write_text(spoilt, encoding="utf-8")
    clock = HandClock()
    app = SteadfootApp(Store(tmp_path / "home", clock), lambda: {"flow": folder})
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        await s.press("n")
        await s.type("R. Vale")
        await s.settle()
        assert "It can't be opened" in s.text and "limits.toml:4" in s.text and "unti" in s.text


async def test_of_several_flows_one_is_chosen_by_its_digit(tmp_path):
    """They are numbered from 1 on."""
    clock = HandClock()
    app = SteadfootApp(Store(tmp_path, clock), lambda: {"washer-bounce": GOOD, "other": GOOD})
    clock = app.clock
    async with app.run_test(size=(80, 24)) as pilot:
        s = Stage(app, pilot, None, clock)
        await s.settle()
        await s.press("n")
        assert "Which job?" in s.text and "Washer that bounces" in s.text
        await s.press("2")
        assert "Who does this job?" in s.text


@both
async def test_help_has_the_purpose_the_keys_and_the_words(tmp_path, size):
    """On a step; Esc goes back to it."""
    async with stage(tmp_path, size, prepare=lambda j: j.do(c.OpenInspection("quick"))) as s:
        await s.press("question_mark")
        assert "Help: A step of an inspection" in s.text and "Keys" in s.text
        await s.press("escape")
        assert "transit bolts" in s.text


async def test_the_theme_changes_on_one_key_and_all_words_stay(tmp_path):
    """Dark to light and back."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.OpenInspection("quick"))) as s:
        before = s.text
        await s.press("t")
        assert s.app.theme == "steadfoot-light" and s.text == before
        await s.press("f9")
        assert s.app.theme == "steadfoot-dark"


async def test_with_no_color_nothing_is_said_by_colour_alone(tmp_path, monkeypatch):
    """The screen is grey, and every word is there."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.OpenInspection("dampers"))) as s:
        coloured = s.text
    monkeypatch.setenv("NO_COLOR", "1")
    async with stage(tmp_path / "grey", prepare=lambda j: j.do(c.OpenInspection("dampers"))) as s:
        assert s.text == coloured
        filtered = [
            strip.apply_filter(f, s.app.screen.background_colors[1])
            for strip in strips(s.app)
            for f in s.app.get_line_filters()
        ]
        colours = {
            seg.style.color.triplet for strip in filtered for seg in strip if seg.style and seg.style.color
        }
        assert colours and all(t.red == t.green == t.blue for t in colours if t)


@pytest.mark.parametrize("locale", ["C", "POSIX"])
async def test_in_the_c_locale_every_sign_is_ascii(tmp_path, monkeypatch, locale):
    """Boxes, marks, drawing, ruler and table."""
    monkeypatch.setenv("LC_ALL", locale)

    def at_pull(job):
        job.do(c.OpenInspection("dampers"))
        while job.at != "dampers.pull":
            job.answer()

    for prepare in (None, lambda j: j.do(c.OpenInspection("dampers")), at_pull):
        async with stage(tmp_path / str(id(prepare)), prepare=prepare) as s:
            assert s.text.isascii(), [ch for ch in s.text if not ch.isascii()]
            assert "SUPPLY NOT KNOWN" in s.text or "POWER HELD" in s.text


async def test_a_window_too_small_is_covered_and_nothing_is_lost(tmp_path):
    """It says so, hears no answer, and goes away by itself."""

    def at_pull(job):
        job.do(c.OpenInspection("dampers"))
        while job.at != "dampers.pull":
            job.answer()

    async with stage(tmp_path, prepare=at_pull) as s:
        await s.type("5", then="7")
        await s.pilot.resize_terminal(60, 20)
        await s.settle()
        assert "60 x 20" in s.text and "80 x 24" in s.text
        before = s.job.state
        await s.press("1", "enter", "s")
        assert s.job.state == before
        await s.pilot.resize_terminal(80, 24)
        await s.settle()
        assert s.name == "ReadingScreen" and s.app.screen.typed == "57"


async def test_leaving_asks_and_keeps_the_job(tmp_path):
    """F12, then 1; the journal is let go, so that it can be taken up again."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.OpenInspection("quick"))) as s:
        await s.press("f12")
        assert "Leave the program?" in s.text
        await s.press("2")
        assert s.name == "QuestionScreen"
        await s.press("f12", "1")
    assert s.app.return_value == 0
    Store(tmp_path, s.clock).resume(s.job.opened.name).close()


@pytest.mark.parametrize("key", ["ctrl+c", "ctrl+q"])
async def test_the_keys_hit_by_mistake_only_say_which_one_leaves(tmp_path, key):
    """Nothing ends."""
    async with stage(tmp_path) as s:
        await s.press(key)
        assert "F12 leaves the program." in s.text and s.app.is_running


async def test_a_disk_that_refuses_ends_the_work_in_words(tmp_path, monkeypatch):
    """What happened, what is safe, how to go on; nothing more is written; the exit code is 5."""
    async with stage(tmp_path, prepare=lambda j: j.do(c.OpenInspection("quick"))) as s:
        written = (s.job.opened.folder / "journal.toml").read_bytes()

        def refuse(_descriptor):
            raise OSError(28, "No space left on device")

        monkeypatch.setattr("wizard.journal.journal_writer.sync", refuse)
        await s.usual()
        assert s.name == "FatalScreen" and "THE RECORD CAN'T BE WRITTEN" in s.text
        assert "make room on the disk" in s.text
        await s.press("1", "s", "n")
        assert s.name == "FatalScreen"
        await s.press("enter")
    assert s.app.return_value == 5
    assert (s.job.opened.folder / "journal.toml").read_bytes().startswith(written)


def test_a_defect_is_kept_in_a_log_and_told_in_one_line(tmp_path):
    """No traceback for a person."""
    try:
        raise ZeroDivisionError("division by zero")
    except ZeroDivisionError as error:
        says = crash_log.keep(tmp_path / "home", error)
    assert "Traceback" not in says and "trouble.log" in says
    assert "ZeroDivisionError" in (tmp_path / "home" / "trouble.log").read_text(encoding="utf-8")


def test_a_log_that_can_t_be_written_is_said(tmp_path):
    """Even then there is a plain line."""
    (tmp_path / "file").write_text("x", encoding="utf-8")
    says = crash_log.keep(tmp_path / "file" / "home", ValueError("x"))
    assert "could not be written" in says
