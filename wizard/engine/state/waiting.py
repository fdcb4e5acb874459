"""Waits: how long since a condition became what it is until a step may be answered, on the steady clock.

Where less became known of the condition meanwhile, its question was asked anew and the wait begins anew with it: never
a shorter one. Without a condition it counts from when the step came on screen, and anew where it is shown anew.
"""

from __future__ import annotations

from wizard.engine.state.job_state import Run, State
from wizard.flow.model import Step, fits


def wait_left(state: State, run: Run, step: Step, since: float) -> float:
    """Seconds until the step may be answered, 0 where it may. ``since``: seconds since the last event.

    A step that asks for a wait of several lengths takes the next one each time that it is answered anew in a run.
    """
    if step.wait is None or not fits(step.wait.applies, state.facts):
        return 0.0
    begun = _begun(state, run, step.wait.since)
    if begun is None:
        return 0.0
    before = sum(g.step == step.id for g in state.answers(run.id))
    minutes = step.wait.minutes[min(before, len(step.wait.minutes) - 1)]
    return max(0.0, minutes * 60.0 - (state.clock + since - begun))


def _begun(state: State, run: Run, condition: str) -> float | None:
    """When the condition became what it is, or the run's step came on screen, on the steady clock; None before that."""
    if condition:
        return state.belief[condition].clock if condition in state.belief else None
    return state.shown_clock if state.shown == (run.id, run.at) else None


def wait_words(seconds: float) -> str:
    """'3 min 20 s'; the second that has begun counts whole."""
    whole = -int(-seconds // 1)
    return f"{whole // 60} min {whole % 60:02d} s" if whole >= 60 else f"{whole} s"
