"""Whether hands may still be where less became known meanwhile: HANDS OUT, until somebody answered."""

from __future__ import annotations

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import RunStatus
from wizard.engine.queries import machine_queries
from wizard.engine.state.job_state import BeliefChange, State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_ref
from wizard.safety import UNATTENDED


def widening_now(state: State) -> BeliefChange | None:
    """The widening that put the step on screen there, asked anew before another; None where none did."""
    run, last = state.run, last_widening(state)
    return last if run is not None and run.only and last is not None and run.began == last.at else None


def last_widening(state: State) -> BeliefChange | None:
    """The last time that less became known of the machine, or None."""
    return next((c for c in reversed(state.changes) if c.widening is not None), None)


def hands_out(view: JobView) -> bool:
    """True while what the step below needs is asked anew, since less became known: a widening or a correction. What is
    taken back meanwhile, and who looks at the map, says nothing of where the hands are.
    """
    state = view.state
    if not state.stack and not state.goal:
        return _left_beside(view)
    near = len(state.stack) > 1 or bool(state.goal)
    return (near and (widening_now(state) is not None or _nothing_since(state))) or _corrected_now(state)


def _left_beside(view: JobView) -> bool:
    """True on the job map where the work that was on screen as less became known was left, unanswered, and needs what
    nobody knows any more.
    """
    state = view.state
    for run_id, step in state.hands_at:
        run = state.find_run(run_id)
        if run is not None and run.how is not RunStatus.LEFT:
            continue
        act = StepRef(run.inspection, step) if run is not None else repair_ref(view, step)
        if machine_queries.unmet(view, act):
            return True
    return False


def _nothing_since(state: State) -> bool:
    """True where less became known in the midst of the inspection to which this leads, and nothing was answered since:
    an undo, or a look at the map, shows nothing of where the hands are.
    """
    last = last_widening(state)
    if last is None or last.widening not in UNATTENDED:
        return False
    begun = any(run.seq < last.seq for run in state.runs if run.id in state.stack)
    return begun and not any(g.seq > last.seq and not g.aside for g in state.answer_records)


def _corrected_now(state: State) -> bool:
    """True where a correction put the step on screen there, asked anew before the one on which the hands are."""
    run = state.run
    if run is None or not run.only or len(state.stack) < 2:
        return False
    corrected = [e.at for e in state.answer_records if e.instead_of] + [
        e.at for e in state.reading_records if e.instead_of
    ]
    return run.began in corrected
