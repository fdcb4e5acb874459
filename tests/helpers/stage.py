"""The program on a stage: a home of its own, a clock turned by hand, keys pressed one by one."""

from __future__ import annotations

from contextlib import asynccontextmanager
from pathlib import Path

from textual import _wait
from textual.worker import WorkerCancelled

from tests.helpers.jobs import GOOD, HandClock, Job, good
from tests.helpers.terminal_program.painted import rows
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.flow.parsing import flow_files
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions.session_store import Store

SIZES = ((80, 24), (120, 36))

_wait.SLEEP_GRANULARITY, _wait.SLEEP_IDLE = 1 / 250, 1 / 2500
"""How long the program must be idle until a key counts as dealt with: 4 ms in place of 20, several times a key."""


class StageJob(Job):
    """The engine tests' job, on a session that lies on disk and on the screen."""

    def __init__(
        self, store: Store, clock: HandClock, flow=None, folder: Path = GOOD, technician="R. Vale"
    ) -> None:
        self.clock, self.flow = clock, flow or good()
        self.opened = store.begin(self.flow, flow_files.read_folder(folder), technician, "T-1")
        self.session = self.opened.session

    def arrive(self, facts=None, complaint="It bangs when it starts to spin.") -> None:
        """Answer what is asked on arrival, the facts and the complaint; then a break, so that nothing is known."""
        while self.state.run is not None:
            self.clock.move(60)
            self.answer()
        wanted = {"kind": "front-loader", "dampers": "3", "stacked": "no", "serial": "X1", **(facts or {})}
        while open_facts := next_queries.open_facts(self.view):
            self.do(c.SetFact(open_facts[0], wanted[open_facts[0]]))
        self.do(c.SetComplaint(complaint))
        self.do(c.Pause())


class Stage:
    """The running program, its pilot, and the job on its desk."""

    def __init__(self, app, pilot, job, clock) -> None:
        self.app, self.pilot, self.job, self.clock = app, pilot, job, clock

    async def press(self, *keys: str) -> None:
        """Press keys one after the other, a second apart or once the step is read, each dealt with before the
        next.
        """
        for key in keys:
            self.clock.move(max(1.0, self.app.host.guard.unread))
            await self.pilot.press(key)
            await self.settle()

    async def usual(self) -> None:
        """Press what gives the usual answer of the question on screen; of several to tick, each that isn't ticked."""
        screen = self.app.screen
        step = screen.current.step
        if step.many:
            wanted = {a.id for a in step.answers if a.usual}
            other = wanted ^ screen.current.known
            await self.press(*(n.digit for n in screen.numbered if n.answer.id in other), "enter")
            return
        found = [n.digit for n in screen.numbered if step.usual is None or n.answer.id == step.usual.id]
        await self.press(found[0] if found else "enter")

    async def asked(self) -> list[str]:
        """Answer the usual way by keys what is asked for the step below; the steps asked, in order."""
        steps = []
        while (run := self.job.state.run) is not None and run.only:
            steps.append(self.job.at)
            await self.usual()
        return steps

    async def type(self, text: str, then: str = "enter") -> None:
        """Type a text and press a key."""
        self.clock.move(1.0)
        names = {" ": "space", ".": "full_stop", ",": "comma", "/": "slash", "-": "minus", "_": "underscore"}
        for character in text:
            await self.pilot.press(names.get(character, character))
        await self.press(then)

    async def settle(self) -> None:
        """Wait until workers and messages are done."""
        for _ in range(3):
            await self.pilot.pause()
            await self.worked()
        await self.pilot.pause()

    async def worked(self) -> None:
        """Wait for the workers. One whose place a newer one took while it was waited for is no failure."""
        for _ in range(20):
            try:
                await self.app.workers.wait_for_complete()
                return
            except WorkerCancelled:
                await self.pilot.pause()
        raise AssertionError("Workers are cancelled without an end.")

    async def show(self) -> None:
        """Draw what the engine was told behind the screen's back."""
        self.app.host.show()
        await self.settle()
        self.clock.move(1.0)

    @property
    def text(self) -> str:
        """Everything on the screen, as text."""
        return screen_text(self.app)

    def part(self, selector: str) -> str:
        """What stands on the screen where a widget is, as text."""
        region = self.app.screen.query_one(selector).region
        lines = self.text.splitlines()[region.y : region.bottom]
        return "\n".join(line[region.x : region.right].rstrip() for line in lines).strip("\n")

    @property
    def name(self) -> str:
        """The class of the screen on top."""
        return type(self.app.screen).__name__


def screen_text(app) -> str:
    """The lines of the screen as they are painted."""
    width, height = app.size
    lines = [row.rstrip() for row in rows(app)]
    assert len(lines) <= height and all(len(line) <= width for line in lines)
    return "\n".join(lines)


@asynccontextmanager
async def stage(tmp_path, size=(80, 24), facts=None, prepare=None, flow=None):
    """The program with a job at its map: ``prepare`` may work on it first."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=size) as pilot:
        job = StageJob(store, clock, flow)
        job.arrive(facts)
        if prepare:
            prepare(job)
        on = Stage(app, pilot, job, clock)
        app.host.take(job.opened)
        await on.settle()
        clock.move(1.0)
        yield on
