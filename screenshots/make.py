"""Make every picture in this folder from the running program: ``python screenshots/make.py [FOLDER]``.

The program is driven by keys, on a home of its own, by a clock that starts at a fixed moment. The machine, the people
and the readings are invented. Two runs give the same files, byte for byte.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from play import Player, lines, neutral_home

from wizard.engine.store import Store
from wizard.flow.case import Case, load_case
from wizard.flow.load import load
from wizard.flow.shipped import shipped
from wizard.proof.clock import CaseClock
from wizard.proof.script import Script
from wizard.screens.app import SteadfootApp
from wizard.screens.photos import PhotoPanel

SMALL, LARGE = (80, 24), (120, 36)
MAIN = frozenset(
    {"home", "map", "question", "reading", "verdict", "decision", "repair", "handover", "proving", "stopped"}
)
"""What is also shown at 120x36."""

FLOW = "washer-shake"
Scene = Callable[["Shots"], Awaitable[None]]


@dataclass
class Shots:
    """One run of the program, and the pictures taken in it."""

    player: Player
    size: tuple[int, int]
    folder: Path
    taken: list[str] = field(default_factory=list)

    async def shot(self, name: str) -> None:
        """Write the screen as it is, as a picture and as text."""
        await self.player.settle()
        if self.size == LARGE and name not in MAIN:
            return
        stem = self.folder / f"{name}-{self.size[0]}x{self.size[1]}"
        title = f"Steadfoot {self.size[0]} x {self.size[1]}"
        stem.with_suffix(".svg").write_bytes(cleaned(self.player.app.export_screenshot(title=title)).encode())
        stem.with_suffix(".txt").write_bytes(text_of(self.player.app).encode())
        self.taken.append(stem.name)


def cleaned(svg: str) -> str:
    """The picture with nothing that would be fetched (fonts), no window buttons, and spaces that every viewer keeps."""
    svg = re.sub(r"@font-face\s*\{.*?\}\s*", "", svg, flags=re.S)
    svg = re.sub(r"<!--.*?-->\s*", "", svg, flags=re.S)
    svg = re.sub(r"<circle [^>]*/>\s*", "", svg)
    svg = svg.replace("Fira Code, monospace", "monospace").replace("Fira Code", "monospace")
    svg = svg.replace('class="rich-terminal"', 'xml:space="preserve"').replace("&#160;", " ")
    return lines(svg.splitlines())


def text_of(app: SteadfootApp) -> str:
    """The screen's characters."""
    strips = app.screen._compositor.render_strips()
    return lines("".join(segment.text for segment in strip) for strip in strips)


# ---- the jobs


async def worn_dampers(s: Shots) -> None:
    """A front loader with worn dampers, from the home screen to the closed visit."""
    p = s.player
    await s.shot("home-empty")
    await p.press("n")
    await s.shot("ask-name")
    await p.type("R. Vale")
    await p.until("FactScreen")
    await s.shot("fact")
    await p.until("ComplaintScreen")
    await s.shot("complaint")
    await p.act()
    await p.until("JobMapScreen")
    await s.shot("map-start")
    await find(s)
    await decide(s)
    await repair(s)
    await prove(s)
    await hand_over(s)


async def find(s: Shots) -> None:
    """Looking and measuring, with what can be done on the way."""
    p = s.player
    await p.until(at="arrival.noises")
    await s.shot("tick-several")
    await p.until(at="bounce.swings")
    await s.shot("question")
    await p.until(at="dampers.look")
    await s.shot("look")
    if s.size == SMALL:
        await extras(s)
    else:
        await p.press("m")
        await s.shot("map")
        await p.press("enter")
    await p.until(at="dampers.pull")
    quick, p.quick = p.quick, False
    await s.shot("reading-first")
    for _ in range(4):
        await p.act()
    await s.shot("reading")
    while p.screen == "ReadingScreen" and p.app.screen.slot is not None:
        await p.act()
    await s.shot("verdict")
    p.quick = quick
    await p.until(at="dampers.spread")
    await s.shot("computed")


async def extras(s: Shots) -> None:
    """Note, photo, can't, correction, sheet, stop, help, break, theme; left again where they would change the job."""
    p = s.player
    await p.press("n")
    await p.type("Grease has run down the left damper.", then="")
    await s.shot("note")
    await p.press("enter")
    await p.press("p")
    await s.shot("photo")
    await p.press("escape")
    await p.press("x")
    await s.shot("cant")
    await p.press("1")
    await s.shot("cant-why")
    await p.press("escape")
    await p.press("c")
    await s.shot("correct-which")
    await p.press("enter")
    await s.shot("correct-what")
    await p.press("escape")
    await p.press("s")
    await s.shot("stop-work")
    await p.press("escape")
    await p.press("f1")
    await s.shot("help")
    await p.press("escape")
    await p.press("t")
    await s.shot("light")
    await p.press("t")
    await p.press("m")
    await s.shot("map")
    await p.press("f")
    await s.shot("found")
    await p.press("escape")
    await p.press("l")
    await s.shot("sheet")
    await p.press("escape")
    await p.press("enter")
    await p.press("b")
    await s.shot("asked-again")
    await p.until(at="dampers.look")


async def decide(s: Shots) -> None:
    """The decision, with one fault ticked."""
    p = s.player
    await p.until("JobMapScreen")
    while p.coming.kind != "decide":
        await p.act()
        await p.until("JobMapScreen")
    await p.press("d")
    await p.settle()
    await p.mark("dampers-worn")
    await s.shot("decision")
    await p.press("enter")


async def repair(s: Shots) -> None:
    """The repair and its parts."""
    p = s.player
    await p.until("MendingScreen")
    await s.shot("repair")
    while not p.app.screen.ready:
        await p.act()
        await p.until("MendingScreen")
    await p.press("3")
    await s.shot("declined")
    await p.press("escape")
    await p.press("1")
    await s.shot("parts")
    await p.press("enter")
    await p.until("JobMapScreen")
    await s.shot("map-mended")


async def prove(s: Shots) -> None:
    """Measuring again, the hoses under pressure, the proving spin."""
    p = s.player
    await p.until(at="hoses-pressure.tissue")
    await s.shot("taps-on")
    await p.until(at="proving-spin.slow")
    await s.shot("proving")


async def hand_over(s: Shots) -> None:
    """The handover, the papers, the typed word, the closed visit, home again."""
    p = s.player
    await p.until("HandoverScreen")
    await s.shot("handover")
    await p.press("1")
    await s.shot("handover-written")
    if s.size == SMALL:
        folder = p.app.desk.opened.folder
        for name in ("HANDOVER.md", "RECORD.md"):
            (s.folder / f"{name}").write_bytes((folder / name).read_bytes())
    await p.press("3")
    await p.type("CLOSE", then="")
    await s.shot("close-word")
    await p.press("enter")
    await s.shot("closed")


async def scorched_plug(s: Shots) -> None:
    """A job stopped at the gate: whom to call, made safe, closed."""
    p = s.player
    await p.press("n")
    await p.type("R. Vale")
    await p.until("StoppedScreen")
    await s.shot("stopped")
    while p.app.screen.line is not None:
        await p.press("enter")
    await s.shot("stopped-safe")


async def on_order(s: Shots) -> None:
    """Parts on order: the map then leads to leaving the machine safe."""
    p = s.player
    await p.press("n")
    await p.type("R. Vale")
    await p.until("MendingScreen")
    await p.press("5")
    await p.press("enter")
    await p.type("Supplier says Friday.", then="")
    await s.shot("on-order")
    await p.press("enter")
    await s.shot("map-leave")


async def home_again(s: Shots) -> None:
    """The home screen with the jobs of before; one taken up again; and leaving."""
    p = s.player
    await s.shot("home")
    await p.press("down")
    await p.press("down")
    await p.press("enter")
    await s.shot("closed-again")
    await p.press("f12")


async def rim_by_the_clock(s: Shots) -> None:
    """Measuring a drum: US units, the feet from above, the clock that grows, what comes of it."""
    p = s.player
    await begin(s)
    await p.until(at="feet.rock")
    p.quick = False
    await p.act()
    await p.act()
    await p.press("equals_sign")
    await s.shot("reading-us")
    await p.press("equals_sign", "tab")
    await s.shot("reading-feet")
    await p.press("tab")
    p.quick = True
    await p.until(at="spider.angles")
    p.quick = False
    for _ in range(5):
        await p.act()
    await s.shot("reading-by-the-clock")
    p.quick = True
    await p.until(at="spider.varies")
    await s.shot("computed-play")
    await p.press("tab")
    await s.shot("computed-play-drawn")
    await p.until(at="spider.runout")
    await s.shot("computed-run-out")


async def timed_by_hand(s: Shots) -> None:
    """The counter of swings, the falling bus, the stopwatch, and the turns of the feet."""
    p = s.player
    await begin(s)
    await p.until(at="bounce.period")
    await p.press("asterisk")
    for seconds in (0.5, 0.37, 0.35, 0.38, 0.36):
        await p.press("space", seconds=seconds)
    await p.press("tab")
    await p.type("14 9 6")
    await s.shot("taps")
    await p.press("escape")
    await p.until(at="gate-dead-inverter.bus")
    await p.press("asterisk")
    await p.type("190")
    await p.type("128", then="")
    await p.press("enter", seconds=58.0)
    await s.shot("bus-falls")
    await p.press("escape")
    await p.until(at="bearings-belt.seconds")
    await p.press("asterisk", "space", "enter", seconds=8.3)
    await s.shot("stopwatch")
    await p.press("escape")


async def feet_to_turn(s: Shots) -> None:
    """How far to turn each foot."""
    p = s.player
    await begin(s)
    await p.until(at="close.turns")
    await s.shot("computed-turns")


async def begin(s: Shots) -> None:
    """A job begun, its steps answered quickly from here on."""
    await s.player.press("n")
    await s.player.type("R. Vale")
    s.player.quick = True


async def small_window(s: Shots) -> None:
    """A window that is too small."""
    await s.player.settle()
    await s.shot("too-small")


# ---- running


async def run(
    scene: Scene, case: Case, size: tuple[int, int], folder: Path, home: Path, clock: CaseClock
) -> list[str]:
    """One run of the program at a size."""
    app = SteadfootApp(Store(home, clock), lambda: {FLOW: shipped()[FLOW]})
    async with app.run_test(size=size) as pilot:
        player = Player(app, pilot, clock, Script(case))
        await player.settle()
        player.quick = size == LARGE
        shots = Shots(player, size, folder)
        await scene(shots)
    return shots.taken


def photos() -> Path:
    """A folder with two photos that hold nothing, written at fixed times."""
    folder = Path("photos")
    folder.mkdir()
    for name, at in (("IMG_0231.jpg", 1767603000), ("IMG_0232.jpg", 1767604500)):
        (folder / name).write_bytes(b"\xff\xd8\xff" + bytes(310_000))
        os.utime(folder / name, (at, at))
    return folder


def make(folder: Path) -> list[str]:
    """Make all pictures. The working folder and the time zone are changed for it."""
    os.environ["TZ"] = "UTC"
    if hasattr(time, "tzset"):
        time.tzset()
    flow = load(shipped()[FLOW])
    cases = {
        c: load_case(shipped()[FLOW] / "cases" / f"{c}.toml", flow)
        for c in ("dampers-worn", "dampers-on-order", "stop-scorched", "way-watch", "way-turns")
    }
    taken: list[str] = []
    for size in (SMALL, LARGE):
        with tempfile.TemporaryDirectory() as temporary:
            here = Path.cwd()
            home, clock = neutral_home(Path(temporary)), CaseClock()
            PhotoPanel.folder = photos()
            for scene, case in (
                (worn_dampers, "dampers-worn"), (scorched_plug, "stop-scorched"), (on_order, "dampers-on-order"),
                (home_again, "dampers-worn"),
            ):  # fmt: skip
                taken += asyncio.run(run(scene, cases[case], size, folder, home, clock))
                clock.pass_by(3600.0)
            os.chdir(here)
    for scene, case in (
        (rim_by_the_clock, "way-watch"), (timed_by_hand, "dampers-worn"), (feet_to_turn, "way-turns"),
    ):  # fmt: skip
        with tempfile.TemporaryDirectory() as temporary:
            here = Path.cwd()
            home = neutral_home(Path(temporary))
            taken += asyncio.run(run(scene, cases[case], SMALL, folder, home, CaseClock()))
            os.chdir(here)
    with tempfile.TemporaryDirectory() as temporary:
        here = Path.cwd()
        home = neutral_home(Path(temporary))
        taken += asyncio.run(run(small_window, cases["dampers-worn"], (60, 18), folder, home, CaseClock()))
        os.chdir(here)
    return taken


if __name__ == "__main__":
    target = Path(sys.argv[1] if len(sys.argv) > 1 else Path(__file__).parent).resolve()
    target.mkdir(parents=True, exist_ok=True)
    for stem in make(target):
        print(stem)
