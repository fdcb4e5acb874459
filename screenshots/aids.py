"""Scenes of what helps to measure: pictures that grow with the readings, counter, stopwatch, falling voltage."""

from __future__ import annotations

from kinds import begin
from shots import Shots


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
