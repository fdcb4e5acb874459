"""Play a job by keys: what its case says becomes the keys that a technician would press on the screen shown."""

from __future__ import annotations

import asyncio
from collections.abc import Callable

from textual import _wait
from textual.pilot import Pilot
from textual.worker import WorkerCancelled

from tests.helpers.terminal_program.painted import rows
from wizard.domain.vocabulary import NextKind
from wizard.engine.answer_source import Reply
from wizard.engine.driver import Driver
from wizard.engine.measuring import judging
from wizard.engine.messages.commands import Command
from wizard.engine.queries import next_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Fact
from wizard.flow.parsing.case_builder import Case
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.screens.program.base_app import BaseApp

_wait.SLEEP_GRANULARITY, _wait.SLEEP_IDLE = 1 / 250, 1 / 2500
"""How long the program must be idle until a key counts as dealt with: 4 ms in place of 20, several times a key."""

NAMES = {
    " ": "space", ".": "full_stop", ",": "comma", "'": "apostrophe", "-": "minus", ":": "colon", "/": "slash",
}  # fmt: skip
"""Characters and the names of their keys."""

BEAT = 30.0
"""Seconds of the job's clock between two beats of the program, which is open all the time."""

KEY = 4.0
"""Seconds of the job's clock before a key."""

MOST = 400
"""Acts until a step comes, at most: a job that never comes to it is a defect."""

FREE = {"maker": "Arden", "model": "F-7", "serial": "A70412"}
"""What is typed for facts without choices; all invented."""

COMPLAINT = "It bangs when the spin begins. Last week it moved a hand's width."


class Told(Script):
    """A case with what stands on the plate and what the customer said; all invented."""

    def fact(self, view: JobView, fact: Fact) -> str:
        """The fact as the case gives it, else what the plate says."""
        return FREE.get(fact.id) or super().fact(view, fact)

    def complaint(self, view: JobView) -> str:
        """The customer's words."""
        return COMPLAINT


class Unhurried(Driver):
    """A driver with some seconds before each act, or those that its step waits; of each a third passes."""

    def do(self, command: Command) -> None:
        """Do a command."""
        self.wait(3 * max(KEY, self.session.wait_left()))
        super().do(command)


class Player:
    """The program, its pilot, its clock, and the case that says what is answered.

    The steps between two pictures are answered through the engine, without a key for each; the screen follows.
    """

    def __init__(self, app: BaseApp, pilot: Pilot[int], clock: CaseClock, case: Case | None = None) -> None:
        self.app, self.pilot, self.clock = app, pilot, clock
        self.script = Told(case) if case else None

    @property
    def screen(self) -> str:
        """The name of the screen on top."""
        return type(self.app.screen).__name__

    @property
    def at(self) -> str:
        """The step on screen as ``inspection.step``, or empty."""
        run = self.app.host.controller.state.run if self.app.host.has_job else None
        return f"{run.inspection}.{run.at}" if run else ""

    async def settle(self) -> None:
        """Wait until workers and messages are done."""
        for _ in range(2):
            await self.pilot.pause()
            await self._worked()
        await self.pilot.pause()
        if self.app.return_code:
            # Leaving its run raises what it was.
            raise RuntimeError("the program ended by a fault of its own")

    async def _worked(self) -> None:
        """Wait for the workers. One whose place a newer one took while it was waited for is no failure."""
        for _ in range(20):
            try:
                await self.app.workers.wait_for_complete()
                return
            except WorkerCancelled:
                await self.pilot.pause()
        raise RuntimeError("workers are cancelled without an end")

    def pass_by(self, seconds: float) -> None:
        """Let time pass by with the program running, and at least until the step on screen can have been read."""
        host = getattr(self.app, "host", None)
        seconds = max(seconds, host.guard.unread if host else 0.0)
        while seconds > BEAT and host is not None:
            self.clock.pass_by(BEAT)
            host.lapses.beat()
            seconds -= BEAT
        self.clock.pass_by(seconds)

    async def press(self, *keys: str, seconds: float = KEY) -> None:
        """Press keys, some seconds apart, each dealt with before the next."""
        for key in keys:
            self.pass_by(seconds)
            await self.pilot.press(key)
            await self.settle()

    async def type(self, text: str, then: str = "enter") -> None:
        """Type a text, then a key."""
        self.pass_by(2.0)
        await self.pilot.press(*(NAMES.get(c, c) for c in text))
        await self.press(*([then] if then else []))

    async def until(self, at: str) -> None:
        """Go on as the case says until this ``inspection.step`` is on screen; an empty one: until none is."""
        self._advance(lambda: at == self.at, at)
        await self.settle()

    async def until_next(self, kind: NextKind) -> None:
        """Go on as the case says until the job map offers this next; none is open then."""
        self._advance(lambda: self.at == "" and self.coming.kind is kind, kind)
        await self.settle()

    def _advance(self, there: Callable[[], bool], what: str) -> None:
        """Follow the case through the engine; then the screen shows where it stands."""
        controller = self.app.host.controller
        driver = Unhurried(controller.opened.session, self.script, lambda s: self.clock.pass_by(s / 3.0))
        for _ in range(MOST):
            if there():
                controller.notice = ()
                self.app.host.show()
                return
            driver.advance()
        raise RuntimeError(f"{what} never came; it stands at {self.at or self.coming}")

    async def act(self) -> None:
        """Answer the step on screen by keys: a question, or the next number of a reading."""
        if self.screen == "ReadingScreen":
            await self._reading()
        else:
            await self._question()

    def reply(self) -> Reply:
        """What the case says to the step on screen."""
        controller = self.app.host.controller
        run = controller.state.run
        step = controller.flow.inspections[run.inspection].step(run.at)
        return self.script.reply(controller.view, run, step)

    async def _question(self) -> None:
        step, reply = self.app.screen.current.step, self.reply()
        self.pass_by(step.minutes * 20.0)
        if step.kind == "tell":
            await self.press("enter")
            return
        digit = {n.answer.id: n.digit for n in self.app.screen.numbered}
        await self.press(*(digit[name] for name in reply.chosen), *(["enter"] if step.many else []))

    async def _reading(self) -> None:
        readings, facts = self.app.screen.readings, self.app.host.controller.state.facts
        if readings.slot is None:
            await self.press("enter")
            return
        await self.type(self.reply().typed[judging.slots(readings.reading, facts).index(readings.slot)])

    async def mark(self, fault: str) -> None:
        """Move the mark to a fault and tick it."""
        faults = [row.fault for row in self.app.screen.choice.rows]
        await self.press(*["down"] * faults.index(fault), "space", seconds=1.0)

    @property
    def coming(self) -> next_queries.NextUp:
        """What the flow would do next."""
        return next_queries.next_up(self.app.host.controller.view)


class DeskPlayer(Player):
    """At the trainer's desk, which watches a folder for as long as it is open: its work never ends."""

    async def _worked(self) -> None:
        await self.pilot.pause()

    async def until(self, words: str) -> None:
        """Wait until a text stands on the screen; RuntimeError after a minute."""
        for _ in range(1200):
            await self.pilot.pause()
            if any(words in row for row in rows(self.app)):
                return
            await asyncio.sleep(0.05)
        raise RuntimeError(f"{words} never came")
