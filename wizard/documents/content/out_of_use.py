"""Whether the machine may be used at the end of a visit, and what forbids it, as the papers say it."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.documents.content.stoppages import stoppages
from wizard.engine.state import condition_words, queries, stopped
from wizard.engine.state.job_view import JobView
from wizard.safety import Barred


def forbidding(view: JobView) -> tuple[str, ...]:
    """What forbids the machine's use, in the flow's words: latches, and what stands in the way of a proof."""
    reasons = tuple(dict.fromkeys(_reasons(view)))
    return (*reasons, *_hazards(view)) if reasons else ()


def _reasons(view: JobView) -> Iterator[str]:
    conditions, known = view.flow.conditions, queries.belief(view)
    for name in queries.latched(view):
        condition, causes = conditions[name], stopped.causes(view, name)
        yield from (cause.says for cause in causes)
        if not causes:
            yield f"{condition.says}: {condition_words.words_of(condition, known[name] & condition.latch)}"
    model = view.model
    for act in queries.proof_acts(view):
        coming = model.chain(known, model.acts[act].needs)
        if isinstance(coming, Barred) and not coming.values & conditions[coming.condition].latch:
            condition = conditions[coming.condition]
            yield f"{condition.says}: {condition_words.words_of(condition, coming.values)}"


def _hazards(view: JobView) -> tuple[str, ...]:
    """What is dangerous about the faults that were confirmed and not repaired."""
    fitted = {r.fault for r in view.state.repairs if r.holds}
    open_faults = (
        view.flow.faults[f] for f in view.state.decided or () if f in view.flow.faults and f not in fitted
    )
    return tuple(fault.hazard for fault in open_faults if fault.hazard)


def out_of_use(view: JobView) -> bool:
    """True when work was stopped, parts are on order, or something forbids the machine's use."""
    return bool(forbidding(view) or stoppages(view)) or queries.ordered(view.state)
