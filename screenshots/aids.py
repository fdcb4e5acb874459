"""Scenes of what helps to measure: pictures that grow with the readings, counter, stopwatch, falling voltage."""

from __future__ import annotations

import math
import os
from pathlib import Path

import numpy as np
from kinds import begin
from shots import Shots

from wizard.measure.damping.decay_model import Swing, mean_acceleration


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


async def recorded(s: Shots) -> None:
    """A phone's recording of the tub: the files, what was found in one, its fit, the number taken."""
    p = s.player
    tub_recording(p.app.store.home.recordings)
    await p.press("asterisk")
    await s.shot("recording-files")
    await p.press("enter")
    await s.shot("recording-columns")
    await p.press("enter")
    await s.shot("recording-fit")
    await p.press("enter")
    await s.shot("recording-taken")
    await p.press("enter")


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
