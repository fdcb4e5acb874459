"""Reasons that are offered by digit where a reason is asked; the words picked stand in the record as if written."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.vocabulary import AnswerHow, RepairOutcome
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_view import JobView

LEFT_OUT = (
    "The customer does not want it",
    "No time for it on this visit",
    "It can't be reached here",
    "The tool for it isn't here",
    "It takes a second person",
    "It isn't safe now",
    "It was looked at on an earlier visit",
)
"""Why an inspection is left out."""

UNABLE = (
    "The tool for it isn't here",
    "It can't be reached here",
    "It is stuck, seized or rusted tight",
    "It isn't safe now",
    "It takes a second person",
    "The customer does not want it",
)
"""Why a step can't be done."""

NOT_FITTED = (
    "Seen: there is none",
    "The maker's sheet says so",
)
"""How it is known that a part isn't fitted."""

NOT_MADE_SAFE = (
    "It isn't safe to do it now",
    "It can't be reached here",
    "Somebody else does it",
)
"""Why a line of a stop can't be done."""


PUT_OFF = (
    "It takes two, and I am alone",
    "No time for it on this visit",
    "The tool for it isn't here",
    "The customer wants it on another day",
)
"""Why a repair is put off."""


_MENDED: Mapping[RepairOutcome, str] = {
    RepairOutcome.FITTED: "Why is it done",
    RepairOutcome.ON_ORDER: "Why are its parts ordered",
    RepairOutcome.DECLINED: "What was the customer told",
    RepairOutcome.PUT_OFF: "Why is it put off",
}
"""What the reason is asked for, by what became of a repair."""


def reasons_for_step(how: AnswerHow) -> tuple[str, ...]:
    """The reasons offered where a step can't be done, or its part is not fitted."""
    return NOT_FITTED if how is AnswerHow.NOT_FITTED else UNABLE


def asked_for(view: JobView, act: cmd.Command) -> tuple[str, tuple[str, ...]]:
    """What a command that lacks a reason is called in the question for it, with what it belongs to, and the reasons
    offered; none where only own words will do.
    """
    flow = view.flow
    match act:
        case cmd.Skip() if act.inspection in flow.inspections:
            return f"Why leave it out: {flow.inspections[act.inspection].title}?", LEFT_OUT
        case cmd.SetFact() if fact := flow.fact(act.fact):
            return f"Why does it change: {fact.ask}", ()
        case cmd.Confirm():
            return "Why does the decision change?", ()
        case cmd.RecordRepair() if fault := flow.faults.get(act.fault):
            return f"{_MENDED[act.outcome]}: {fault.remedy.says}", ()
        case cmd.OnStep() if run := view.state.find_run(act.run):
            return f"Why: {flow.inspections[run.inspection].title}?", ()
        case cmd.BeginVisit():
            return "What became of the stop?", ()
    return "Why?", ()
