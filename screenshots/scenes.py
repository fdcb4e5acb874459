"""The scenes of a technician's job: a front loader with worn dampers, a scorched plug, parts on order."""

from __future__ import annotations

import aids
from shots import SMALL, Shots


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
    await p.until(at="bounce.recorded")
    await aids.recorded(s)
    await p.until(at="dampers.look")
    await s.shot("look")
    if s.size == SMALL:
        await extras(s)
    else:
        await p.press("m")
        await s.shot("map")
        await p.press("a")
        await s.shot("advice")
        await p.press("escape")
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
    await p.press("a")
    await s.shot("advice")
    await p.press("escape")
    await p.press("e")
    await s.shot("explain")
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
    await p.until("RepairScreen")
    await s.shot("repair")
    while not p.app.screen.ready:
        await p.act()
        await p.until("RepairScreen")
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
        folder = p.app.host.controller.opened.folder
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
    await p.until("RepairScreen")
    await p.press("5")
    await p.press("enter")
    await p.type("Supplier says Friday.", then="")
    await s.shot("on-order")
    await p.press("enter")
    await s.shot("map-leave")


async def home_again(s: Shots) -> None:
    """The home screen with the jobs of before; one resumed; and leaving."""
    p = s.player
    await s.shot("home")
    await p.press("down")
    await p.press("down")
    await p.press("enter")
    await s.shot("closed-again")
    await p.press("f12")


async def small_window(s: Shots) -> None:
    """A window that is too small."""
    await s.player.settle()
    await s.shot("too-small")
