"""Why a step asks for what it does: where the hands go there, and where that rule comes from, each in a line."""

from __future__ import annotations

import re

from wizard.domain.vocabulary import LimitStatus
from wizard.engine.state.job_view import JobView
from wizard.engine.state.repair_approach import repair_reach
from wizard.flow.model.steps import HandsStep

_MARK = re.compile(r" ?\[(P\*?|C|E)\]")
_WORDS = {LimitStatus.ESTIMATE: " (estimate)", LimitStatus.RECALLED: " (from memory)"}


def source_words(source: str) -> str:
    """The source of a reach, its marks in words; what was read in print needs none."""
    return _MARK.sub(lambda found: _WORDS.get(LimitStatus(found[1]), ""), source)


def hands_here(view: JobView) -> tuple[str, str]:
    """Where the hands go at the step or repair on screen, with why that is the right reach; and where what it needs
    comes from. Both empty where nothing is open, or the hands go nowhere.
    """
    reach_id, because = _open(view)
    reach = view.flow.reaches.get(reach_id)
    if reach is None:
        return "", ""
    return " ".join(x for x in (f"{reach.says}.", because) if x), source_words(reach.source)


def _open(view: JobView) -> tuple[str, str]:
    run, state = view.state.run, view.state
    if run is not None:
        step = view.flow.inspections[run.inspection].step(run.at)
        return (step.reach, step.because) if isinstance(step, HandsStep) else ("", "")
    fault = view.flow.faults.get(state.goal)
    return (repair_reach(view, fault), fault.remedy.because) if fault is not None else ("", "")
