"""Which answers of the step on screen stop work, or set what only a release lifts."""

from __future__ import annotations

from wizard.domain.vocabulary import AnswerHow
from wizard.engine.queries.contradicted import contradicted
from wizard.engine.state.job_state import Run, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Answer, Flow, Step


def times_given(state: State, run: Run, step: str, chosen: tuple[str, ...], how: AnswerHow) -> int:
    """How often this answer was given to the step before: in the run, or where one step is asked for another, in a
    row on this visit.
    """
    if not run.only:
        same = (g for g in state.answers(run.id) if g.step == step)
        return sum((g.chosen, g.how) == (chosen, how) for g in same)
    count = 0
    for g in reversed(state.answer_records):
        if (g.inspection, g.step) != (run.inspection, step) or g.aside:
            continue
        if (g.chosen, g.how) != (chosen, how) or g.visit != run.visit:
            break
        count += 1
    return count


def stops_work(view: JobView, step: Step, answer: Answer) -> bool:
    """True where this answer, given now at the step on screen, stops work or sets a latch."""
    return (
        bool(answer.stop)
        or _latches(view.flow, answer)
        or _stops_this_time(view, step, answer)
        or _contradicts(view, answer)
    )


def _contradicts(view: JobView, answer: Answer) -> bool:
    """Whether it finds otherwise what was proved, so that it stops work."""
    run = view.state.run
    return run is not None and bool(contradicted(view, run, answer.so))


def _latches(flow: Flow, answer: Answer) -> bool:
    return any(frozenset(values) & flow.conditions[c].latch for c, values in answer.so.items())


def _stops_this_time(view: JobView, step: Step, answer: Answer) -> bool:
    """Whether it was given as often as may be, so that it stops work this time."""
    run = view.state.run
    if run is None or not answer.most or answer.then is None or not answer.then.stop:
        return False
    return times_given(view.state, run, step.id, (answer.id,), AnswerHow.ANSWER) >= answer.most
