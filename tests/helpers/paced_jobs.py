"""Jobs at an unhurried pace, and the flags that they raise."""

from __future__ import annotations

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Recorded
from wizard.engine.messages.repair_parts import PartFitted
from wizard.flow.model import Flow
from wizard.review.flags.flag_rules import RULES, flags
from wizard.review.flags.thresholds import merge
from wizard.review.replay import Replay


class Paced(Job):
    """Every act takes ``pace`` seconds; nobody hurries unless told to."""

    def __init__(
        self, facts: dict[str, str] | None = None, pace: float = 200.0, flow: Flow | None = None
    ) -> None:
        self.pace = pace
        super().__init__(facts, flow)

    def do(self, command: c.Command) -> None:
        self.clock.move(self.pace)
        self.session.do(command)

    def open(self, inspection: str) -> None:
        """Open an inspection and answer what it needs the usual way."""
        self.come_to(inspection)

    def rest(self) -> None:
        """Answer what is on screen to its end, the usual way."""
        while self.state.run is not None:
            self.answer()

    def read_each(self, *typed: str) -> None:
        """Type these one after the other into the step on screen; the last one goes on as often as is asked."""
        from wizard.engine.measuring import judging

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
    job.asked()
    job.read_each(*(typed or ("17", "18", "19")))
    job.judge()
    job.rest()
    return job


def parts(**counts: int) -> tuple[PartFitted, ...]:
    """Parts of the dampers' remedy, each by its id (with _ for -) and how many."""
    return tuple(PartFitted(name.replace("_", "-"), count) for name, count in counts.items())


SET = parts(damper=3, pin_set=1)


def mended(job: Paced, fitted: tuple[PartFitted, ...] = SET, reason: str = "") -> Paced:
    """Confirm the dampers and fit new ones."""
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, fitted, reason))
    return job


def closed(job: Paced) -> Paced:
    """Go on the usual way to the close."""
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return job


def raised(job: Job, rule: str, own: dict | None = None, records: list[Recorded] | None = None) -> list:
    """The flags of one rule, which alone is looked for; with what the rules of the flow forbid, all are."""
    off = {} if rule == "against-rules" else {other: {"on": False} for other in RULES if other != rule}
    found = flags(Replay(job.flow, records or job.records), merge({**off, **(own or {})}, "flags.toml"))
    return [f for f in found if f.rule == rule]
