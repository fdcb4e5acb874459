"""What an answer finds to be otherwise than it was measured or tried, with nothing between that may have changed it."""

from __future__ import annotations

from wizard.domain.references import StepRef
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_state import Run
from wizard.engine.state.job_view import JobView
from wizard.safety import Belief, Needs


def contradicted(view: JobView, run: Run, so: Needs) -> tuple[str, ...]:
    """The conditions that stop work where they are contradicted, and of which this answer of the step on screen leaves
    nothing of what was believed before the step was shown.

    Only where the usual answer of the step would have confirmed that: what an act changes is no contradiction.
    """
    act = view.model.acts.get(StepRef(run.inspection, run.at))
    named = [c for c in so if c in view.model.conditions and view.model.conditions[c].contradicted]
    if not named or act is None or act.usual is None:
        return ()
    before, usual = _before_shown(view, run, named), act.usual.so
    return tuple(
        c
        for c in named
        if not so[c] & before[c] and c in usual and usual[c] <= before[c] and _known(view, c, before)
    )


def contradiction_stop(view: JobView, names: tuple[str, ...]) -> str:
    """The reason to stop that the first of these conditions names; empty where there are none."""
    return view.model.conditions[names[0]].contradicted if names else ""


def _known(view: JobView, name: str, before: Belief) -> bool:
    condition = view.model.conditions[name]
    return before[name] < set(condition.values) - condition.latch


def _before_shown(view: JobView, run: Run, names: list[str]) -> dict[str, frozenset[str]]:
    """What was believed of these conditions before the step came on screen the last time: what it may change is written
    ahead, and is no news.
    """
    changes = view.state.changes
    shown = next(
        (
            c.seq
            for c in reversed(changes)
            if c.event is EventKind.SHOWN and (c.run, c.step) == (run.id, run.at)
        ),
        0,
    )
    here = machine_queries.belief(view)
    found = {}
    for name in names:
        told = (c.belief[name] for c in reversed(changes) if name in c.belief and c.seq != shown)
        later = any(name in c.belief for c in changes if c.seq > shown)
        found[name] = here[name] if later else next(told, here[name])
    return found
