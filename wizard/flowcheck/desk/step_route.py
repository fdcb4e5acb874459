"""How a job comes to a step: a case that goes through it, played up to where the step is on screen."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from wizard.domain.references import StepRef
from wizard.engine.messages.events import Recorded
from wizard.engine.queries import machine_queries
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.fold import fold
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.case_player import play


@dataclass(frozen=True, slots=True)
class StepRoute:
    """A case, and its events up to where a step is on screen, ready to be answered."""

    case: Case
    step: StepRef
    records: tuple[Recorded, ...]


def routes(flow: Flow, cases: Iterable[Case], step: StepRef) -> Iterator[StepRoute]:
    """Yield each case that goes through a step, as far as there; a case takes a tenth of a second or more to play."""
    rules = Rules.of(flow)
    for case in cases:
        records = up_to(rules, play(flow, case).records, step)
        if records:
            yield StepRoute(case, step, records)


def up_to(rules: Rules, records: tuple[Recorded, ...], step: StepRef) -> tuple[Recorded, ...]:
    """The events of a job up to where a step is first on screen and may be answered; none where it never is."""
    state = State()
    for number, record in enumerate(records):
        state = fold(state, record)
        whole = number + 1 == len(records) or records[number + 1].asked is not None
        here = whole and state.run is not None and state.run.ref == step
        if here and machine_queries.ready(JobView(rules, state)):
            return records[: number + 1]
    return ()
