"""Whether the machine may be used at the end of a visit, and what forbids it, as the papers say it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.documents.content.stoppages import stoppages
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state import machine_view, queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.safety import Barred


def forbidding(flow: Flow, state: State) -> tuple[str, ...]:
    """What forbids the machine's use, in the flow's words: latches, and what stands in the way of a proof."""
    reasons = tuple(dict.fromkeys(_reasons(Rules.of(flow), state)))
    return (*reasons, *_hazards(flow, state)) if reasons else ()


def _reasons(rules: Rules, state: State) -> Iterator[str]:
    conditions, known = rules.flow.conditions, queries.belief(JobView(rules, state))
    for name in queries.latched(JobView(rules, state)):
        condition = conditions[name]
        yield f"{condition.says}: {machine_view.words_of(condition, known[name] & condition.latch)}"
    model = rules.model(state.facts)
    for act in queries.proof_acts(JobView(rules, state)):
        coming = model.chain(known, model.acts[act].needs)
        if isinstance(coming, Barred) and not coming.values & conditions[coming.condition].latch:
            condition = conditions[coming.condition]
            yield f"{condition.says}: {machine_view.words_of(condition, coming.values)}"


def _hazards(flow: Flow, state: State) -> tuple[str, ...]:
    """What is dangerous about the faults that were confirmed and not repaired."""
    fitted = {r.fault for r in state.repairs if r.outcome is RepairOutcome.FITTED}
    open_faults = (flow.faults[f] for f in state.decided or () if f in flow.faults and f not in fitted)
    return tuple(fault.hazard for fault in open_faults if fault.hazard)


def out_of_use(flow: Flow, state: State) -> bool:
    """True when work was stopped, parts are on order, or something forbids the machine's use."""
    return bool(forbidding(flow, state) or stoppages(flow, state)) or queries.ordered(state)
