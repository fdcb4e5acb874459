"""Where one is in the job, in words: the inspection, the step, the minutes so far, and for what a step is asked."""

from __future__ import annotations

from datetime import datetime

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Phase
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_reach
from wizard.screens.text import labels

LONGEST = 600
"""Minutes; a visit that seems longer was left overnight, and its length says nothing."""

ROOM = 36
"""Columns beside the widest box at 80 columns."""

WHOLE = 1000
"""Columns that nothing asked is longer than."""


def minutes_so_far(state: State, now: datetime) -> str:
    """'23 min so far', counted from the visit's beginning."""
    began = labels.local(state.visit.began) if state.visit else None
    if began is None:
        return ""
    minutes = int((now - began).total_seconds() // 60)
    return f"{minutes} min so far" if 0 <= minutes <= LONGEST else ""


def step_words(view: JobView, room: int = ROOM) -> tuple[str, str, str]:
    """Title, 'step 2 of 4', and for what it is asked where it is asked for another inspection, in ``room``
    columns.
    """
    run = view.state.run
    if run is None:
        return view.flow.title, "", ""
    inspection = view.flow.inspections[run.inspection]
    if run.only:
        return inspection.title, "asked first", asked_for(view, room)
    ids = [s.id for s in inspection.steps]
    place = f"step {ids.index(run.at) + 1} of {len(ids)}" if run.at in ids else ""
    after = inspection_queries.after_repair(view, view.state.seq + 1) and run.phase is Phase.AFTER
    again = "after the repair" if after and not inspection.procedure else ""
    return inspection.title, ", ".join(x for x in (place, again) if x), ""


def asked_for(view: JobView, room: int) -> str:
    """Why a step is asked: of what, and for which inspection or repair, with where the hands go there.

    Where that is longer than ``room``, it is left to the panel of how the machine stands: first where the hands go,
    then of what it is asked.
    """
    run = view.state.run
    if run is None or run.condition not in view.flow.conditions:
        return ""
    what = view.flow.conditions[run.condition].says
    title, reach = _target(view)
    if not title:
        return what
    says = f"for: {title}"
    wordings = (*((f"{what}, {says} ({reach.lower()})",) if reach else ()), f"{what}, {says}", says)
    return next((w for w in wordings if len(w) <= room), says)


def _target(view: JobView) -> tuple[str, str]:
    """What the step on screen is asked for, an inspection or a repair, and where the hands go there; or empty.

    What needs nothing of the machine has nothing asked for it: an answer taken back there opens its step alone.
    """
    flow, state = view.flow, view.state
    bottom = state.find_run(state.stack[0]) if state.stack else None
    if bottom is not None and not bottom.only:
        target = flow.inspections[bottom.inspection]
        act = view.model.acts.get(StepRef(target.id, bottom.at))
        if act is None or not act.needs:
            return "", ""
        step = target.step(bottom.at)
        title, reach = target.title, step.reach if step is not None else ""
    elif state.goal in flow.faults:
        fault = flow.faults[state.goal]
        title, reach = fault.remedy.says, repair_reach(view, fault)
    else:
        return "", ""
    return title, flow.reaches[reach].says if reach in flow.reaches else ""


def note_place(view: JobView) -> str:
    """At which inspection a note is written, as a sentence."""
    run = view.state.run
    inspection = view.flow.inspections.get(run.inspection) if run else None
    return f"At: {inspection.title}." if inspection else "At no step."
