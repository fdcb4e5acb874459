"""The scenes of jobs: a front loader with worn dampers, a scorched outlet, a cracked spider, a tub on worn rods."""

from __future__ import annotations

import math
import os
from collections.abc import Callable
from pathlib import Path

import numpy as np

from screenshots.player import DeskPlayer, Player
from screenshots.shots import Shots
from wizard.domain.vocabulary import NextKind
from wizard.measure.damping.decay_model import Swing, mean_acceleration
from wizard.practice.demo.demo_motion import write_motion
from wizard.practice.demo.drawn_spin import drawn
from wizard.sessions.review_desk import ReviewDesk
from wizard.sessions.reviews.review_rows import Ruling


async def begin(p: Player) -> None:
    """A new job of the first flow, with who does it."""
    await p.press("n")
    await p.press("1")
    await p.type("R. Vale")


async def worn(s: Shots) -> None:
    """Worn dampers, from the door to the closed visit."""
    p = s.player
    await begin(p)
    await s.shot("intake/asked-first")
    await p.until_next(NextKind.FACT)
    await s.shot("intake/fact")
    await p.until_next(NextKind.COMPLAINT)
    await p.type("It bangs when the spin begins.", then="")
    await s.shot("intake/complaint")
    await p.press("enter")
    await p.until("arrival.noises")
    await p.press("1", "4")
    await s.shot("intake/tick-several")
    await find(s)
    await asides(s)
    await measure(s)
    await decide(s)
    await repair(s)
    await hand_over(s)


async def find(s: Shots) -> None:
    """A question with its drawing, a recording of the tub's swings."""
    p = s.player
    await p.until("bounce.swings")
    await s.shot("questions/question")
    await p.until("bounce.recorded")
    tub_recording(p.app.store.home.recordings)
    await p.press("asterisk", "enter", "enter")
    await s.shot("readings/decay")
    await p.press("enter", "enter")
    await p.until("dampers.look")


def tub_recording(folder: Path) -> None:
    """Write a CSV as a phone does: a tub that is held, let go after 3 s, and swings out, with noise. Invented."""
    rng, time = np.random.default_rng(7), np.arange(0, 9, 0.01)
    swing = Swing(-0.018, 0.0, math.tau * 2.7, 0.045, 0.0006, 0.0)
    free, up = time > 3.005, 9.79 + 0.06 * rng.standard_normal(len(time))
    up[free] += mean_acceleration(swing, time[free] - 3.0, 0.01)
    rows = [
        f"{t:.2f},{x:.3f},{z:.3f}"
        for t, x, z in zip(time, 0.1 * rng.standard_normal(len(time)), up, strict=True)
    ]
    folder.mkdir(exist_ok=True)
    path = folder / "tub-front.csv"
    path.write_text("\n".join(["Time (s),X (m/s^2),Z (m/s^2)", *rows]) + "\n", encoding="utf-8", newline="\n")
    os.utime(path, (1767604800, 1767604800))


async def asides(s: Shots) -> None:
    """How the machine stands, a correction, stopping, the map, advice; and what a break makes less known."""
    p = s.player
    await p.press("i")
    await s.shot("safety/machine")
    await p.press("escape", "c")
    await s.shot("questions/correct")
    await p.press("escape", "s")
    await s.shot("safety/stop-work")
    await p.press("escape", "m")
    await s.shot("map/map")
    await p.press("a")
    await s.shot("map/advice")
    await p.press("escape", "enter")
    await p.until("dampers.look")
    await p.press("b", "1")
    await s.shot("questions/asked-again")
    await p.until("dampers.pull")


async def measure(s: Shots) -> None:
    """Readings on their ruler: under way, and all there with the verdict."""
    p = s.player
    for _ in range(5):
        await p.act()
    await s.shot("readings/reading")
    while p.screen == "ReadingScreen" and p.app.screen.readings.slot is not None:
        await p.act()
    await s.shot("readings/verdict")
    await p.press("enter")


async def decide(s: Shots) -> None:
    """The decision, with one fault ticked, and what speaks for and against each."""
    p = s.player
    await p.until_next(NextKind.DECIDE)
    await p.press("d")
    await p.mark("dampers-worn")
    await s.shot("map/decision")
    await p.press("e")
    await s.shot("map/explain")
    await p.press("escape", "enter")


async def repair(s: Shots) -> None:
    """The repair and the proving spin."""
    p = s.player
    await p.until_next(NextKind.REPAIR)
    await p.press("enter", "enter")
    await p.until("")
    await s.shot("repair/repair")
    await p.press("1", "enter")
    await p.until("proving-spin.slow")
    await s.shot("repair/proving")


async def hand_over(s: Shots) -> None:
    """The handover and the papers of the closed visit."""
    p = s.player
    await p.until_next(NextKind.CLOSE)
    await p.press("enter")
    await s.shot("repair/handover")
    await p.press("1", "2")
    await p.type("CLOSE")
    await s.shot("repair/closed")


async def scorched(s: Shots) -> None:
    """A job stopped before anything was touched: whom to call, how to leave it safe."""
    p = s.player
    await begin(p)
    await p.act()
    await p.press("enter")
    await s.shot("safety/stopped")


async def cracked_spider(s: Shots) -> None:
    """The feet from above, play by the clock, and a map with what must not be done."""
    p = s.player
    await begin(p)
    await p.until("feet.rock")
    await p.act()
    await p.act()
    await p.press("equals_sign")
    await s.shot("questions/feet")
    await p.press("equals_sign")
    await p.until("spider.angles")
    for _ in range(5):
        await p.act()
    await s.shot("questions/rim")
    await p.until_next(NextKind.REPAIR)
    await s.shot("map/map-barred")


async def worn_rods(s: Shots) -> None:
    """A top loader: another kind of machine has other steps and drawings."""
    p = s.player
    await begin(p)
    await p.until("rods.look")
    await s.shot("intake/hung")


async def recorded_spin(s: Shots) -> None:
    """One spin recorded by a phone: where it lies, the step that takes its file, what it says, its pictures."""
    p = s.player
    await begin(p)
    await p.until("record-spin.place")
    await s.shot("questions/phone-place")
    await p.until("record-spin.take")
    folder = p.app.store.home.recordings
    folder.mkdir(exist_ok=True)
    path = folder / "empty-spin.csv"
    write_motion(drawn("worn-dampers", 7), 7, path)
    os.utime(path, (1767604800, 1767604800))
    await s.shot("readings/record")
    await p.press("enter", "enter")
    await s.shot("readings/spin")
    await p.press("tab")
    await s.shot("readings/spin-pictures")


async def home(s: Shots) -> None:
    """The home screen with the jobs of before, the archive over it, a trend, and the jobs at one machine."""
    await s.player.settle()
    await s.shot("home/home")
    await s.player.press("a")
    for _ in range(3):
        await s.player.settle()
    await s.shot("archive/archive")
    await s.player.press("r", "right", "right", "right")
    for _ in range(3):
        await s.player.settle()
    await s.shot("archive/trends")
    await s.player.press("escape", "down", "v")
    for _ in range(3):
        await s.player.settle()
    await s.shot("archive/visits")
    await s.player.press("escape", "escape")
    await returned(s)


async def returned(s: Shots) -> None:
    """A reviewer returned the newest job: home says so, then the words in full."""
    p = s.player
    store = p.app.store
    name = store.home.list_ids()[0]
    loaded, desk = store.load(name), ReviewDesk(store, name)
    words = "The breaker: who switched it off, and who said so?"
    desk.sign("C. Marsh", Ruling.RETURN, words, loaded.chain, len(loaded.records))
    p.app.screen.refresh_all()
    await p.settle()
    await s.shot("home/returned")
    await p.press("r", "enter")
    await s.shot("home/returned-words")


async def replay(s: Shots) -> None:
    """A closed session gone through again: as a whole, a pull judged with the time line, the list, the flags."""
    p = s.player
    await s.shot("replay/replay-whole")
    events = [r.event for r in p.app.session.replay.records]
    pulled = next(n for n, e in enumerate(events, 1) if e.kind == "answered" and e.step == "pull")
    await p.press("g", *str(pulled), "enter")
    await s.shot("replay/replay")
    await p.press("l")
    await s.shot("replay/replay-line")
    await p.press("escape", "f")
    await s.shot("replay/replay-flags")


async def desk(s: Shots, mend: Callable[[], None]) -> None:
    """A trainer's desk: a flow with slips, each with its line; once they are mended its steps, and one looked for."""
    p = s.player
    assert isinstance(p, DeskPlayer)
    await p.until("3 errors")
    await s.shot("desk/problems")
    mend()
    await p.until("own-flow  sound")
    await p.press("right", "slash", *"pump-run", "enter")
    await s.shot("desk/steps")
