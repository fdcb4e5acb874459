"""Play a case by keys: what its script says becomes the keys that a technician would press on the screen shown."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from textual.events import Paste
from textual.pilot import Pilot

from wizard.engine.answer_source import Reply
from wizard.engine.driver import Driver
from wizard.engine.measuring import judging
from wizard.engine.state import queries
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.text.answer_numbering import digits

NAMES = {
    " ": "space", ".": "full_stop", ",": "comma", "'": "apostrophe", "-": "minus", ":": "colon", "/": "slash",
    "?": "question_mark", "(": "left_parenthesis", ")": "right_parenthesis",
}  # fmt: skip
"""Characters and the names of their keys."""

STEPS = ("QuestionScreen", "ReadingScreen", "ComputedScreen")
"""The screens of steps."""

LONG = 20
"""Characters of a text that isn't typed key by key where things go quickly."""

MOST = 400
"""Acts in one job, at most: a job that doesn't end is a defect."""


class Player:
    """The program, its pilot, its clock, and the script that says what is answered.

    ``quick`` answers the steps between two pictures through the engine, without a key for each: for a second size.
    """

    quick = False

    def __init__(self, app: SteadfootApp, pilot: Pilot[int], clock: CaseClock, script: Script) -> None:
        self.app, self.pilot, self.clock, self.script = app, pilot, clock, script

    @property
    def screen(self) -> str:
        """The name of the screen on top."""
        return type(self.app.screen).__name__

    async def settle(self) -> None:
        """Wait until nothing is under way."""
        await self.pilot.pause()
        await self.app.workers.wait_for_complete()
        await self.pilot.pause()

    async def press(self, *keys: str, seconds: float = 4.0) -> None:
        """Press keys, some seconds apart."""
        for key in keys:
            self.clock.pass_by(seconds)
            await self.pilot.press(key)
        await self.settle()

    async def type(self, text: str, then: str = "enter") -> None:
        """Type a text, then a key; quickly, a long one is pasted."""
        self.clock.pass_by(2.0)
        if self.quick and len(text) > LONG and self.app.focused:
            self.app.post_message(Paste(text))
            await self.settle()
        else:
            await self.pilot.press(*(NAMES.get(c, c) for c in text))
        await self.press(*([then] if then else []))

    async def until(self, *screens: str, at: str = "") -> None:
        """Go on as the script says until one of these screens shows, or this ``inspection.step``."""
        for _ in range(MOST):
            await self.settle()
            if (at and at == self.at) or (not at and self.screen in screens):
                return
            await self.act(at)
        raise RuntimeError(f"{screens or at} never came; it stands at {self.screen} {self.at}")

    @property
    def at(self) -> str:
        """The step on screen as ``inspection.step``, or empty."""
        run = self.app.host.controller.state.run if self.app.host.has_job else None
        return f"{run.inspection}.{run.at}" if run else ""

    async def act(self, at: str = "") -> None:
        """Press what the screen on top wants; quickly, answer all steps up to ``at`` or the inspection's end."""
        if self.quick and self.screen in STEPS:
            self._answer(at)
            return
        match self.screen:
            case "FactScreen":
                await self._fact()
            case "ComplaintScreen":
                await self.type("It bangs when the spin begins. Last week it moved a hand's width.")
            case "QuestionScreen":
                await self._question()
            case "ReadingScreen":
                await self._reading()
            case "AskText":
                await self.type("M. Oak")
            case "AskOne":
                await self.press("1")
            case "JobMapScreen":
                await self._map()
            case "DecisionScreen":
                await self._decide()
            case "RepairScreen":
                await self.press("1" if self.app.screen.ready else "enter", seconds=60.0)
            case _:
                await self.press("enter", seconds=10.0)

    def _answer(self, at: str) -> None:
        """Answer the steps through the engine, and have the screen follow."""
        session = self.app.host.controller.opened.session
        driver = Driver(session, self.script, lambda s: self.clock.pass_by(s / 3.0))
        while session.state.run is not None and (not at or at != self.at):
            driver.answer(session.state.run)
        self.app.host.show()

    async def _fact(self) -> None:
        controller = self.app.host.controller
        fact = self.app.screen.fact
        value = self.script.fact(controller.flow, controller.state, fact)
        if fact.values:
            ids = [v.id for v in fact.values]
            await self.press(digits(len(ids))[ids.index(value)])
        else:
            await self.type(FREE.get(fact.id, "" if value == "not given" else value))

    def reply(self) -> Reply:
        """What the script says to the step on screen."""
        controller = self.app.host.controller
        run = controller.state.run
        step = controller.flow.inspections[run.inspection].step(run.at)
        return self.script.reply(controller.flow, controller.state, run, step)

    async def _question(self) -> None:
        step, reply = self.app.screen.step, self.reply()
        self.clock.pass_by(step.minutes * 20.0)
        if step.kind == "tell":
            await self.press("enter")
            return
        digit = {n.answer.id: n.digit for n in self.app.screen.numbered}
        wanted = [] if step.many and reply.answer == "none" else reply.answer.split("+")
        for name in wanted:
            await self.press(digit[name])
        if step.many:
            await self.press("enter")

    async def _reading(self) -> None:
        controller, screen = self.app.host.controller, self.app.screen
        step, run = screen.step, screen.run
        self.clock.pass_by(step.minutes * 10.0)
        missing = judging.missing(
            step.reading, controller.state.facts, controller.state.readings(run.id, step.id)
        )
        if not missing:
            await self.press("enter")
            return
        typed = self.reply().typed[judging.slots(step.reading, controller.state.facts).index(missing[0])]
        await self.type(spread(typed, missing[0].repeat))

    async def _map(self) -> None:
        """Take what is marked; what is barred is left out, and the reason is the bar."""
        seq = self.app.host.controller.state.seq
        await self.press("enter", seconds=10.0)
        if self.screen == "JobMapScreen" and self.app.host.controller.state.seq == seq:
            await self.press("x")
            await self.type("It must not spin as it is.")

    async def _decide(self) -> None:
        controller = self.app.host.controller
        for fault in self.script.faults(controller.flow, controller.state):
            await self.mark(fault)
        await self.press("enter")

    async def mark(self, fault: str) -> None:
        """Move the cursor to a fault and tick it."""
        rows = [r.fault for r in self.app.screen._rows]
        await self.press(*["pageup"] * 5, *["down"] * rows.index(fault), "space", seconds=0.5)

    @property
    def coming(self) -> queries.NextUp:
        """What the flow would do next."""
        return queries.next_up(self.app.host.controller.flow, self.app.host.controller.state)


FREE = {"make": "Arden", "maker": "Arden", "model": "F-7", "serial": "A70412", "age": "6"}
"""What is typed for facts without choices; all invented."""


def spread(typed: str, repeat: int) -> str:
    """The number of a case, a little otherwise at each repeat, as real ones are."""
    number = float(typed.replace(",", "."))
    if number < 10 or number != int(number):
        return typed
    return f"{int(number) + (0, 1, -1)[repeat % 3]}"


def neutral_home(folder: Path) -> Path:
    """A home whose path says nothing of this computer: the working folder becomes ``folder``."""
    os.chdir(folder)
    return Path("home")


def lines(texts: Iterable[str]) -> str:
    """Lines without spaces at their ends, as a file."""
    return "\n".join(t.rstrip() for t in texts).rstrip() + "\n"
