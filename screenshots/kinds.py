"""The other kinds of machine, a machine that must not spin, a session replayed."""

from __future__ import annotations

from shots import SMALL, Shots


async def begin(s: Shots) -> None:
    """A new job, quickly."""
    await s.player.press("n")
    await s.player.type("R. Vale")
    await s.player.until("JobMapScreen")


async def at(s: Shots, step: str, name: str) -> None:
    """Go on to a step and show it."""
    await s.player.until(at=step)
    await s.shot(name)


async def drawn(s: Shots, name: str) -> None:
    """The drawing of the step, which lies behind a key on a small screen."""
    if s.size == SMALL:
        await s.player.press("tab")
        await s.shot(name)
        await s.player.press("tab")


async def cracked_spider(s: Shots) -> None:
    """Play by the clock; the machine is barred from any spin, declined, and left marked."""
    p = s.player
    await begin(s)
    await p.until(at="quick.plug")
    await p.press("m")
    await s.shot("map-barred")
    await p.until("RepairScreen")
    await s.shot("repair-spider")
    await p.press("3")
    await p.type("Told that the drum may burst. The plug stays out.")
    await at(s, "leave-safe.plug", "leave-safe")
    await p.until("HandoverScreen")
    await s.shot("handover-barred")


async def hung(s: Shots) -> None:
    """A top loader hung on rods."""
    await begin(s)
    await at(s, "rods.look", "hung-rods")
    await drawn(s, "hung-rods-drawn")
    if s.size != SMALL:
        return
    await at(s, "rods.corners", "hung-tub")
    await at(s, "rods.straps", "hung-straps")


async def base(s: Shots) -> None:
    """A top loader on springs at its base."""
    await begin(s)
    await at(s, "pads.seat", "base-pads")
    await drawn(s, "base-pads-drawn")
    await at(s, "springs-base.look", "base-springs")
    await drawn(s, "base-springs-drawn")


async def replay(s: Shots) -> None:
    """A closed session gone through again: before its first event, a pull judged, the ranking then, the flags."""
    p = s.player
    await s.shot("replay-start")
    told = [r.event for r in p.app.session.replay.records]
    pulled = next(n for n, e in enumerate(told, 1) if e.kind == "answered" and e.step == "pull")
    await p.press("g", *str(pulled), "enter")
    await s.shot("replay")
    if s.size == SMALL:
        await p.press("tab")
        await s.shot("replay-ranking")
        await p.press("tab", "f")
        await s.shot("replay-flags")
        await p.press("escape")
