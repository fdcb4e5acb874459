"""Waits: how long since a condition became what it is until a step may be answered, on the steady clock.

Where less became known of the condition meanwhile, its question was asked anew and the wait begins anew with it: never
a shorter one. Without a condition it counts from when the step came on screen, and anew where it is shown anew.
"""

from __future__ import annotations

from itertools import takewhile

from wizard.domain.vocabulary import Verdict
from wizard.engine.state.job_state import AnswerRecord, Run, State
from wizard.flow.model import Step, fits


def wait_left(state: State, run: Run, step: Step, since: float) -> float:
    """Seconds until the step may be answered, 0 where it may. ``since``: seconds since the last event.

    A step that asks for a wait of several lengths takes the next one each time that it is answered anew. After an
    answer that says to wait ('it still turns') the step waits as long as that says, from when it is on screen again.
    """
    now = state.clock + since
    return max(_step_left(state, run, step, now), _answer_left(state, run, step, now))


def _step_left(state: State, run: Run, step: Step, now: float) -> float:
    if step.wait is None or not fits(step.wait.applies, state.facts):
        return 0.0
    begun = _begun(state, run, step.wait.since)
    if begun is None:
        return 0.0
    before = _times(state, run, step, step.wait.since)
    minutes = step.wait.minutes[min(before, len(step.wait.minutes) - 1)]
    return max(0.0, minutes * 60.0 - (now - begun))


def _answer_left(state: State, run: Run, step: Step, now: float) -> float:
    last = next(iter(_same(state, run, step, _less_known(state))), None)
    begun = _begun(state, run, "")
    answer = step.answer(last.chosen[0]) if last is not None and len(last.chosen) == 1 else None
    if answer is None or begun is None:
        return 0.0
    return max(0.0, answer.wait * 60.0 - (now - begun))


def _times(state: State, run: Run, step: Step, condition: str) -> int:
    """How often the step was answered in the run. Where one step is asked for another each time is a run of its own:
    what counts are answers since the condition became what it is, but for those of a healthy machine, which led on.
    """
    if not run.only or condition not in state.belief:
        return sum(g.step == step.id for g in state.answers(run.id))
    return sum(not _well(step, g) for g in _same(state, run, step, state.belief[condition].seq))


def _well(step: Step, given: AnswerRecord) -> bool:
    usual = step.usual
    return given.verdict is Verdict.PASS or (usual is not None and given.chosen == (usual.id,))


def _same(state: State, run: Run, step: Step, since: int) -> list[AnswerRecord]:
    """The answers of the step after an event, the last one first: none of a run that was taken back."""
    given = takewhile(lambda g: g.seq > since, reversed(state.answer_records))
    return [g for g in given if (g.inspection, g.step) == (run.inspection, step.id) and not g.aside]


def _less_known(state: State) -> int:
    """The event by which less became known last, 0 where none did: nobody waited since then."""
    return next((c.seq for c in reversed(state.changes) if c.widening is not None), 0)


def _begun(state: State, run: Run, condition: str) -> float | None:
    """When the condition became what it is, or the run's step came on screen, on the steady clock; None before that."""
    if condition:
        return state.belief[condition].clock if condition in state.belief else None
    return state.shown_clock if state.shown == (run.id, run.at) else None


def wait_words(seconds: float) -> str:
    """'3 min 20 s'; the second that has begun counts whole."""
    whole = -int(-seconds // 1)
    return f"{whole // 60} min {whole % 60:02d} s" if whole >= 60 else f"{whole} s"
