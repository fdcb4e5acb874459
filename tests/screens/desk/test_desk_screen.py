"""The desk by keys: lists, a save in the editor, a step tried and answered, a case kept, an approval."""

from __future__ import annotations

import asyncio
import shutil
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from pathlib import Path

import pytest

from tests.helpers.jobs import GOOD, HandClock
from tests.helpers.stage import SIZES, screen_text
from wizard.flowcheck.cases import case_player
from wizard.screens.desk.desk_app import DeskApp
from wizard.screens.desk.desk_screen import DeskScreen
from wizard.sessions.session_store import Store

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


class Desk:
    """The program under test, and the flow's folder."""

    def __init__(self, app, pilot, folder: Path) -> None:
        self.app, self.pilot, self.folder = app, pilot, folder

    async def press(self, *keys: str) -> None:
        for key in keys:
            self.app.clock.seconds += 5.0
            await self.pilot.press(key)
            await self.pilot.pause()

    async def type(self, text: str) -> None:
        await self.press(*(("minus" if c == "-" else "space" if c == " " else c) for c in text), "enter")

    async def until(self, text: str | Callable[[], bool]) -> None:
        """Wait for a text on the screen, or something else; fails with the screen after half a minute."""
        for _ in range(600):
            await self.pilot.pause()
            if text in self.text if isinstance(text, str) else text():
                return
            await asyncio.sleep(0.05)
        raise AssertionError(f"{text!r} did not come:\n{self.text}")

    @property
    def text(self) -> str:
        return screen_text(self.app)

    @property
    def name(self) -> str:
        return type(self.app.screen).__name__


@asynccontextmanager
async def at_desk(tmp_path: Path, size=(80, 24), unapprovable: str = "") -> AsyncIterator[Desk]:
    folder = Path(shutil.copytree(GOOD, tmp_path / "own-flow"))
    app = DeskApp(Store(tmp_path / "home", HandClock()), folder, unapprovable)
    async with app.run_test(size=size) as pilot:
        on = Desk(app, pilot, folder)
        await on.until("own-flow  sound")
        yield on


def desk_of(on: Desk) -> DeskScreen:
    """The desk, under whatever is asked."""
    return next(screen for screen in on.app.screen_stack if isinstance(screen, DeskScreen))


def saved(path: Path, old: str, new: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


@both
async def test_a_save_is_read_and_the_line_is_shown(tmp_path, size):
    """An error with its line; once it is mended the flow is sound again. Meanwhile the steps are those of before."""
    async with at_desk(tmp_path, size) as on:
        dampers = on.folder / "inspections" / "dampers.toml"
        saved(dampers, "\ndo = ", "\ndoo = ")
        await on.until("1 error")
        assert '"doo" is not a key here' in on.text and "▸ doo = " in on.text
        await on.press("right")
        assert "dampers." in on.text or "before." in on.text
        saved(dampers, "\ndoo = ", "\ndo = ")
        await on.until("own-flow  sound")


@both
async def test_a_step_is_tried_as_the_technician_sees_it(tmp_path, size):
    """Found by its words, opened by Enter at that very step; answered there; F12 leads back to the desk."""
    async with at_desk(tmp_path, size) as on:
        await on.press("right", "slash")
        await on.type("dampers.pull")
        await on.press("enter")
        await on.until(lambda: on.name == "ReadingScreen")
        assert "HANDS OUT" not in on.text and "Dampers" in on.text
        await on.press("6", "1", "enter")
        state = on.app.host.controller.state
        assert [r.value for r in state.reading_records][-1] == 61
        await on.press("f12")
        assert "Back to the desk?" in on.text
        await on.press("1")
        await on.until(lambda: on.name == "DeskScreen")
        assert "keep case" in on.text and not on.app.host.has_job


async def test_a_tried_job_is_kept_as_a_case_that_the_desk_then_has(tmp_path):
    """The step that stops work: tried, stopped, back, kept under its name, and the flow is read anew."""
    async with at_desk(tmp_path, (120, 36)) as on:
        before = on.app.screen.view.count("cases")
        await on.press("right", "slash")
        await on.type("before.danger")
        await on.press("enter")
        await on.until(lambda: on.name == "QuestionScreen")
        digit = next(line.split()[0] for line in on.text.splitlines() if "Plug or outlet scorched" in line)
        on.app.clock.seconds += 60.0  # As long as the words take to read.
        await on.press(digit)
        await on.until(lambda: on.name == "StoppedScreen")
        await on.press("f12", "1")
        await on.until(lambda: on.name == "DeskScreen")
        await on.press("w")
        await on.press(*["backspace"] * 24)
        await on.type("plug-scorched")
        await on.until("cases/tried.toml: the case plug-scorched")
        await on.until(lambda: on.app.screen.view.count("cases") == before + 1)
        assert on.app.screen.view.reading.sound


async def test_cases_are_played_and_ways_are_counted(tmp_path):
    """Each case says how it ended; each step how many of its ways the cases go."""
    async with at_desk(tmp_path, (120, 36)) as on:
        await on.press("c")
        await on.until(lambda: on.app.screen.view.covered() is not None)
        await on.press("right")
        assert any(line.rstrip().endswith(("/2", "/3", "/4")) for line in on.text.splitlines())
        await on.press("right")
        assert "as said" in on.text
        await on.press("enter")
        assert on.name == "LinesPanel" and "before." in on.text
        await on.press("escape")


async def test_the_picture_of_an_inspection(tmp_path):
    """Tab on a step: its inspection as a tree."""
    async with at_desk(tmp_path) as on:
        await on.press("right", "tab")
        assert on.name == "LinesPanel"


async def test_somebody_approves_it_here(tmp_path):
    """A name and a reason; then nothing is left to be approved. A slip of the key writes nothing."""
    async with at_desk(tmp_path) as on:
        approval = on.folder.with_name("own-flow.approved.toml")
        await on.press("v", "escape")
        assert not approval.exists()
        await on.press("v")
        await on.type("Jo Miller")
        await on.type("Read through")
        await on.until(approval.exists)
        assert 'by = "Jo Miller"' in approval.read_text(encoding="utf-8")


async def test_nobody_approves_what_came_with_the_program(tmp_path):
    """The reason stands on the message line."""
    async with at_desk(tmp_path, unapprovable="Its makers approve it.") as on:
        await on.press("v")
        assert "Its makers approve it." in on.text and on.name == "DeskScreen"


async def test_a_folder_that_goes_says_so(tmp_path):
    """The editor's program moves the flow away: the desk says what it can't read, and goes on."""
    async with at_desk(tmp_path) as on:
        shutil.rmtree(on.folder)
        await on.press("u")
        await on.until("can't be read")
        assert "no flow.toml" in " ".join(on.text.split())


async def test_what_was_saved_meanwhile_is_not_approved_unseen(tmp_path):
    """A need is taken out while the reason is typed: nothing is written, and the desk says to look again."""
    async with at_desk(tmp_path) as on:
        await on.press("v")
        await on.type("Jo Miller")
        before = desk_of(on).view.reading
        saved(on.folder / "inspections" / "dampers.toml", 'needs = { front = ["off"] }\n', "")
        await on.until(lambda: desk_of(on).view.reading is not before)
        await on.type("As before")
        assert "It was read anew meanwhile" in " ".join(on.text.split())
        assert not on.folder.with_name("own-flow.approved.toml").exists()


async def test_an_approval_that_cant_be_read_is_not_written_over(tmp_path):
    """A person has to look at what lies there."""
    async with at_desk(tmp_path) as on:
        approval = on.folder.with_name("own-flow.approved.toml")
        approval.write_text("flow = 3\n", encoding="utf-8")
        await on.until(lambda: on.app.screen.view.reading.beside.unreadable != "")
        await on.press("v")
        assert on.name == "DeskScreen" and approval.read_text(encoding="utf-8") == "flow = 3\n"


async def test_the_desk_is_left_while_cases_play(tmp_path, monkeypatch):
    """No case is begun any more once it was left."""
    begun: list[str] = []
    real = case_player.play

    def slow(flow, case):
        begun.append(case.id)
        time.sleep(0.3)
        return real(flow, case)

    monkeypatch.setattr(case_player, "play", slow)
    async with at_desk(tmp_path) as on:
        await on.press("c")
        await on.until(lambda: len(begun) == 1)
        on.app.workers.cancel_all()
        await asyncio.sleep(1.0)
        assert len(begun) == 1
