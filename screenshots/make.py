"""Make every picture in this folder from the running program: ``python screenshots/make.py [FOLDER]``.

The program is driven by keys, on its own home, by a clock that starts at a fixed moment. The machine, the people
and the readings are invented. Two runs give the same files, byte for byte. The sizes are made side by side.
"""

from __future__ import annotations

import asyncio
import os
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

import aids
import kinds
import printed
import scenes
from play import Player, neutral_home
from shots import LARGE, SMALL, Scene, Shots

from wizard.flow.loading.case_loader import load_case
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.case_builder import Case
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.screens.dialogs.photo_panel import PhotoPanel
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.replay.replay_app import ReplayApp
from wizard.sessions.session_store import Store

FLOW, TINY = "washer-shake", (60, 18)
JOBS: tuple[tuple[Scene, str], ...] = (
    (scenes.worn_dampers, "dampers-worn"),
    (scenes.scorched_plug, "stop-scorched"),
    (scenes.on_order, "dampers-on-order"),
    (scenes.home_again, "dampers-worn"),
)
"""Scenes that share a home, and the case that each plays."""

MORE: tuple[tuple[Scene, str], ...] = (
    (aids.rim_by_the_clock, "way-watch"),
    (aids.timed_by_hand, "dampers-on-order"),
    (aids.feet_to_turn, "way-turns"),
    (kinds.cracked_spider, "spider-declined"),
    (kinds.hung, "rods-hung"),
    (kinds.base, "pads-base"),
)
"""Scenes with a home each."""

MORE_LARGE = tuple(
    (scene, case) for scene, case in MORE if scene in (aids.rim_by_the_clock, kinds.hung, kinds.base)
)
"""Those of them with a picture at 120x36."""


async def run(
    scene: Scene, case: Case, size: tuple[int, int], folder: Path, home: Path, clock: CaseClock, by_keys: bool
) -> list[str]:
    """One run of the program at a size; without ``by_keys`` the steps between two pictures are answered at once."""
    app = SteadfootApp(Store(home, clock), lambda: {FLOW: shipped()[FLOW]})
    async with app.run_test(size=size) as pilot:
        player = Player(app, pilot, clock, Script(case))
        await player.settle()
        player.quick = not by_keys
        shots = Shots(player, size, folder)
        await scene(shots)
    return shots.taken


async def replay(case: Case, size: tuple[int, int], folder: Path, home: Path, clock: CaseClock) -> list[str]:
    """The oldest session of a home, replayed."""
    store = Store(home, clock)
    app = ReplayApp(store, min(f.name for f in (home / "sessions").iterdir()))
    async with app.run_test(size=size) as pilot:
        shots = Shots(Player(app, pilot, clock, Script(case)), size, folder)
        await shots.player.settle()
        await kinds.replay(shots)
    return shots.taken


def photos() -> Path:
    """A folder with two photos that hold nothing, written at fixed times."""
    folder = Path("photos")
    folder.mkdir()
    for name, at in (("IMG_0231.jpg", 1767603000), ("IMG_0232.jpg", 1767604500)):
        (folder / name).write_bytes(b"\xff\xd8\xff" + bytes(310_000))
        os.utime(folder / name, (at, at))
    return folder


def cases() -> dict[str, Case]:
    """The cases that are played."""
    flow = load(shipped()[FLOW])
    names = {name for _scene, name in (*JOBS, *MORE)}
    return {c: load_case(shipped()[FLOW], flow, c) for c in names}


def jobs(size: tuple[int, int], folder: Path) -> list[str]:
    """The pictures of a whole job and its replay."""
    told, home, clock, taken = cases(), Path("home"), CaseClock(), []
    PhotoPanel.folder = photos()
    for scene, case in JOBS:
        by_keys = scene is scenes.worn_dampers and size == SMALL
        taken += asyncio.run(run(scene, told[case], size, folder, home, clock, by_keys))
        clock.pass_by(3600.0)
    return taken + asyncio.run(replay(told["dampers-worn"], size, folder, home, clock))


def others(size: tuple[int, int], folder: Path) -> list[str]:
    """The pictures of the other scenes."""
    told, taken = cases(), []
    for scene, case in MORE if size == SMALL else MORE_LARGE:
        taken += asyncio.run(
            run(scene, told[case], size, folder, Path(scene.__name__), CaseClock(), by_keys=False)
        )
    return taken


def tiny(size: tuple[int, int], folder: Path) -> list[str]:
    """A window that is too small, and what the commands print."""
    told = cases()["dampers-worn"]
    taken = asyncio.run(
        run(scenes.small_window, told, size, folder, Path("home"), CaseClock(), by_keys=False)
    )
    return taken + printed.pictures(folder)


PARTS = {"jobs": jobs, "others": others, "tiny": tiny}
WORK = (("jobs", SMALL), ("jobs", LARGE), ("others", SMALL), ("others", LARGE), ("tiny", TINY))


def part(name: str, size: tuple[int, int], folder: Path) -> list[str]:
    """Make some of the pictures in a working folder of their own, in UTC."""
    os.environ["TZ"] = "UTC"
    if hasattr(time, "tzset"):
        time.tzset()
    here = Path.cwd()
    with tempfile.TemporaryDirectory() as temporary:
        neutral_home(Path(temporary))
        try:
            return PARTS[name](size, folder)
        finally:
            os.chdir(here)


def make(folder: Path) -> list[str]:
    """Make all pictures."""
    with ProcessPoolExecutor(2) as pool:
        waiting = [pool.submit(part, name, size, folder) for name, size in WORK]
        return [stem for some in waiting for stem in some.result()]


if __name__ == "__main__":
    if sys.argv[1:2] and sys.argv[1].startswith("-"):
        sys.exit(
            "Usage: python screenshots/make.py [FOLDER]    (without one, the pictures here are made anew)"
        )
    target = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent).resolve()
    target.mkdir(parents=True, exist_ok=True)
    for stem in make(target):
        print(stem)
