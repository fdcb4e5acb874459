"""Three whole jobs, each with two breaks and a restart: where they are interrupted, and what is asked again then.

The same plan is played in the engine (``played``) and by keys in a terminal, by
``tests/screens/test_terminal_interrupted.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Any

from tests.helpers.seen_parts import SeenParts
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobOutcome
from wizard.engine.answer_source import RepairReply, Reply, ReplyHow
from wizard.engine.driver import Driver
from wizard.engine.messages.events import Recorded
from wizard.engine.session import Session
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Fault, Flow, Step
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.advised_play import Advised, as_came
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.effort import Effort, effort
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.screens.text.labels import widened

FLOW = "washer-shake"

ACTS = 1000
"""More acts than any of these jobs takes."""


class How(StrEnum):
    """What comes between: hands stay inside and no key is pressed, the program is left by its key, or killed."""

    LAPSE = "no key for 20 min"
    ENDED = "program ended, 2 h"
    KILLED = "kill -9"


MINUTES = {How.LAPSE: 20.0, How.ENDED: 120.0, How.KILLED: 1.0}
"""How long each takes."""


@dataclass(frozen=True)
class Interruption:
    """What comes between, at which step (as ``inspection.step``), before or after the repair."""

    how: How
    at: str
    after: bool = False


@dataclass(frozen=True)
class Plan:
    """A machine, the shipped case that answers for it, and three interruptions in their order."""

    kind: str
    case: str
    between: tuple[Interruption, ...]


PLANS = (
    Plan(
        "front loader, worn dampers",
        "dampers-worn",
        (
            Interruption(How.LAPSE, "dampers.stroke"),
            Interruption(How.ENDED, "dampers.pull", after=True),
            Interruption(How.KILLED, "close.slope", after=True),
        ),
    ),
    Plan(
        "hanging top loader, a rod broken",
        "way-rod-hangs",
        (
            Interruption(How.LAPSE, "rods.look"),
            Interruption(How.ENDED, "rods.slide", after=True),
            Interruption(How.KILLED, "proving-spin.full", after=True),
        ),
    ),
    Plan(
        "top loader on springs, worn pads",
        "pads-base",
        (
            Interruption(How.KILLED, "pads.seat"),
            Interruption(How.LAPSE, "pads.thickness"),
            Interruption(How.ENDED, "proving-spin.load", after=True),
        ),
    ),
)


@dataclass(frozen=True)
class AskedAgain:
    """An interruption, the reason that the screen gives, and the steps that are asked until its step is back."""

    between: Interruption
    reason: str
    steps: tuple[str, ...]
    left: str = ""


@dataclass
class Ended:
    """A job played to its end: how it ended, what it took, and what each interruption had asked again."""

    outcome: JobOutcome | None
    decided: Effort
    whole: Effort
    again: list[AskedAgain] = field(default_factory=list)


def case_of(flow: Flow, plan: Plan) -> Case:
    """The shipped case that answers for a machine."""
    return next(c for c in load_cases(folder_of(FLOW), flow) if c.id == plan.case)


def played(flow: Flow, plan: Plan, between: Sequence[Interruption] | None = None) -> Ended:
    """Play a job in the engine, led by the evidence; ``between`` in place of the plan's interruptions."""
    case = case_of(flow, plan)
    clock, records = CaseClock(), list[Recorded]()
    session = Session.begin(flow, case.id, records.append, clock, "Case", case.id)
    driver = Driver(session, Truthful(case, as_came(play(flow, case).records)), clock.pass_by)
    left = list(plan.between if between is None else between)
    again: list[AskedAgain] = []
    for _ in range(ACTS):
        if left and _at(driver.session.view, left[0]):
            again.append(_interrupt(driver, left.pop(0), records, clock))
        if not driver.advance():
            assert not left, f"never came to {left[0]}"
            return Ended(driver.session.state.outcome, *effort(flow, records), again)
    raise AssertionError(f"no end of {plan.kind}")


class Truthful(Advised):
    """As the case led by the advice; but what may be ticked is ticked as it is, whatever is believed since."""

    def __init__(self, *given: Any) -> None:
        super().__init__(*given)
        self.seen = SeenParts()

    def reply(self, view: JobView, run: Run, step: Step) -> Reply:
        """The case's, but for what was taken off, wedged or tied before."""
        said = super().reply(view, run, step)
        if step.many and self._given(view.state, run, StepRef(run.inspection, step.id)) is None:
            said = replace(said, chosen=tuple(self.seen.ticks(step)))
        if said.how is ReplyHow.ANSWER:
            self.seen.note(step, said.chosen)
        return said

    def repair(self, view: JobView, fault: Fault) -> RepairReply:
        """The case's; all parts are on again after it."""
        self.seen.repaired()
        return super().repair(view, fault)


def _at(view: JobView, between: Interruption) -> bool:
    run = view.state.run
    here = run is not None and not run.only and str(run.ref) == between.at
    return here and bool(view.state.repairs) == between.after


def _interrupt(
    driver: Driver, between: Interruption, records: list[Recorded], clock: CaseClock
) -> AskedAgain:
    """Let it happen, answer what is asked again the usual way, and say what that was."""
    before = driver.session.state.run
    assert before is not None
    clock.pass_by(MINUTES[between.how] * 60.0)
    if between.how is How.LAPSE:
        driver.session.touch()
    else:
        driver.session = Session.resume(driver.session.flow, tuple(records), records.append, clock)
    reason = widened(driver.session.state)
    steps: list[str] = []
    while (run := driver.session.state.run) is not None and run.only:
        steps.append(str(run.ref))
        driver.answer(run)
    run = driver.session.state.run
    back = "the job map" if run is None else "" if run.ref == before.ref else str(run.ref)
    return AskedAgain(between, reason, tuple(steps), back)
