"""Make every picture in this folder anew from the running program: ``python -m screenshots.make``.

The program is driven by keys, on a home of its own, by a clock that starts at a fixed moment, in UTC. The machine,
the people and the readings are invented (``cases.toml``). Two runs give the same files, byte for byte. ``text`` gets
what stands on the screen of each scene at each size, which a test compares; as SVG are written only the pictures that
README.md shows, or with ``--all`` all of them. Both ways the pictures of reports are made too, where a browser is.
"""

from __future__ import annotations

import argparse
import asyncio
import gc
import os
import tempfile
import time
from collections.abc import Awaitable, Callable
from concurrent.futures import ProcessPoolExecutor
from functools import lru_cache
from pathlib import Path

from screenshots import printed, reports, scenes
from screenshots.player import DeskPlayer, Player
from screenshots.shots import README, SIZES, Shots, svg_name
from wizard.flow.loading.case_loader import load_file
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.case_builder import Case
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.journal import session_name
from wizard.screens.desk.desk_app import DeskApp
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.program.base_app import BaseApp
from wizard.screens.replay.replay_app import ReplayApp
from wizard.sessions.session_store import Store

HERE = Path(__file__).parent
FLOW = "washer-shake"
Scene = Callable[[Shots], Awaitable[None]]


async def run(app: BaseApp, case: Case | None, scene: Scene, folder: Path, every: bool) -> list[str]:
    """One run of the program; the names of the pictures taken in it."""
    async with app.run_test(size=SIZES[0]) as pilot:
        shots = Shots(Player(app, pilot, app.clock, case), folder, every)
        await shots.player.settle()
        await scene(shots)
    return shots.taken


def job(scene: Scene, case: str, folder: Path, every: bool, store: Store) -> list[str]:
    """The pictures of a job."""
    return asyncio.run(run(SteadfootApp(store, shipped), cases().get(case), scene, folder, every))


@lru_cache(maxsize=1)
def cases() -> dict[str, Case]:
    """The jobs by their ids."""
    return {c.id: c for c in load_file(HERE / "cases.toml", load(shipped()[FLOW], sound))}


def sound(_digest: str) -> bool:
    """Every flow is taken as checked: other tests check those that come with the program."""
    return True


def whole(folder: Path, every: bool) -> list[str]:
    """A whole job, its replay, and a check of a flow."""
    store = home()
    taken = job(scenes.worn, "worn", folder, every, store)
    (session,) = store.home.list_ids()
    taken += asyncio.run(run(ReplayApp(store, session), None, scenes.replay, folder, every))
    return taken + printed.pictures(folder, every)


def others(folder: Path, every: bool) -> list[str]:
    """Other jobs, and the home screen after them."""
    store, taken = home(), []
    for scene, case in (
        (scenes.cracked_spider, "cracked-spider"),
        (scenes.worn_rods, "worn-rods"),
        (scenes.scorched, "scorched"),
        (scenes.home, ""),
    ):
        taken += job(scene, case, folder, every, store)
        store.clock.pass_by(3600.0)
    return taken


def home() -> Store:
    """A home whose path says nothing of this computer, below the working folder, and its clock."""
    return Store(Path("home"), CaseClock(), sound)


def recording(folder: Path, every: bool) -> list[str]:
    """A job that takes the recording of a spin."""
    return job(scenes.recorded_spin, "recorded", folder, every, home())


def desk(folder: Path, every: bool) -> list[str]:
    """A flow with slips of a trainer's hand at the desk, and once they are mended."""
    own = Path("own-flow")
    printed.edited(own, printed.MISTYPED)
    return asyncio.run(at_desk(DeskApp(home(), own), own, folder, every))


async def at_desk(app: DeskApp, own: Path, folder: Path, every: bool) -> list[str]:
    """The pictures of the desk: it watches the folder for as long as it is open."""
    async with app.run_test(size=SIZES[0]) as pilot:
        shots = Shots(DeskPlayer(app, pilot, app.clock, None), folder, every)
        await scenes.desk(shots, lambda: printed.mended(own, printed.MISTYPED))
    return shots.taken


PARTS = {"whole": whole, "others": others, "recording": recording, "desk": desk}


def part(name: str, folder: Path, every: bool) -> list[str]:
    """Make some of the pictures in a working folder of their own."""
    session_name.fresh_mark = lambda: "k7m3qd"  # Drawn by chance, no two runs would give the same.
    gc.set_threshold(50_000)  # It makes little garbage; collected as often as usual it takes a tenth longer.
    if hasattr(time, "tzset"):
        time.tzset()
    here = Path.cwd()
    with tempfile.TemporaryDirectory() as temporary:
        os.chdir(temporary)
        try:
            return PARTS[name](folder, every)
        finally:
            os.chdir(here)


def make(folder: Path, every: bool) -> list[str]:
    """Make all pictures into a folder; their names."""
    folder.mkdir(parents=True, exist_ok=True)
    os.environ.update(TZ="UTC0", LANG="C.UTF-8", LC_ALL="C.UTF-8")
    with ProcessPoolExecutor(len(PARTS)) as pool:
        waiting = [pool.submit(part, name, folder, every) for name in PARTS]
        return [stem for some in waiting for stem in some.result()]


def remove_stale(taken: list[str]) -> None:
    """Remove the pictures here that are of no scene any more, or that README.md doesn't show any more."""
    texts = {HERE / "text" / f"{stem}.txt" for stem in taken}
    shown = {HERE / f"{svg_name(stem)}.svg" for stem in taken if svg_name(stem) in README}
    for path in (*HERE.glob("text/*/*.txt"), *HERE.glob("*.svg")):
        if path not in texts | shown:
            path.unlink()


def main() -> None:
    """Make them, into the folder of the command line or here."""
    asked = argparse.ArgumentParser(description="Make the pictures of the program anew.")
    asked.add_argument("folder", nargs="?", type=Path, default=HERE, help="where to; by default this folder")
    asked.add_argument("--all", action="store_true", help="every picture as SVG, not only those of README.md")
    given = asked.parse_args()
    taken = make(given.folder.resolve(), given.all)
    if given.folder == HERE:
        remove_stale(taken)
    if given.folder == HERE or given.all:
        taken += reports.pictures(given.folder.resolve())
    print(f"{len(taken)} pictures are in {given.folder}")


if __name__ == "__main__":
    main()
