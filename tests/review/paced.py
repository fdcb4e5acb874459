"""Jobs at an unhurried pace, and the flags that they raise."""

from __future__ import annotations

from jobs import Job

from wizard.engine import commands as c
from wizard.engine.events import Recorded
from wizard.review.flags import flags
from wizard.review.replay import Replay
from wizard.review.thresholds import merge


class Paced(Job):
    """Every act takes ``pace`` seconds; nobody hurries unless told to."""

    def __init__(self, facts: dict[str, str] | None = None, pace: float = 200.0) -> None:
        self.pace = pace
        super().__init__(facts)

    def do(self, command: c.Command) -> None:
        self.clock.move(self.pace)
        self.session.do(command)

    def open(self, inspection: str) -> None:
        """Open an inspection and go through its gates the usual way."""
        self.do(c.Open(inspection))
        while self.state.run is not None and self.state.run.inspection != inspection:
            self.answer()

    def rest(self) -> None:
        """Answer what is on screen to its end, the usual way."""
        while self.state.run is not None:
            self.answer()

    def read_each(self, *typed: str) -> None:
        """Type these one after the other into the step on screen; the last one goes on as often as is asked."""
        from wizard.engine import judging

        run, step = self.step()
        for place, slot in enumerate(judging.slots(step.reading, self.state.facts)):
            text = typed[min(place, len(typed) - 1)]
            self.do(c.TakeReading(run.id, step.id, text, slot.item, slot.way, slot.repeat, sure=True))

    def judge(self, reason: str = "") -> None:
        """Judge the step on screen."""
        run, step = self.step()
        self.do(c.Judge(run.id, step.id, reason))


def weak(job: Paced, answer: str = "swings", *typed: str) -> Paced:
    """Look at the dampers and find them weak; ready for the decision."""
    job.through("quick")
    job.open("dampers")
    job.answer(answer)
    job.read_each(*(typed or ("17", "18", "19")))
    job.judge()
    job.rest()
    return job


def mended(job: Paced, parts: tuple[str, ...] = ("damper x3", "pin-set x1"), reason: str = "") -> Paced:
    """Confirm the dampers and fit new ones."""
    job.until("decide")
    job.do(c.Confirm(("dampers-worn",)))
    if job.state.safety != "isolated":
        job.isolate()
    job.do(c.Mend("dampers-worn", "fitted", parts, reason))
    return job


def closed(job: Paced) -> Paced:
    """Go on the usual way to the close."""
    job.until("close")
    job.do(c.Close())
    return job


def raised(job: Job, rule: str, own: dict | None = None, records: list[Recorded] | None = None) -> list:
    """The flags of one rule."""
    found = flags(Replay(job.flow, records or job.records), merge(own or {}, "flags.toml"))
    return [f for f in found if f.rule == rule]
