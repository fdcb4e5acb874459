"""Which answers speak for a fault, and whether one of the checks that confirm it did."""

from __future__ import annotations

from wizard.engine.state import Given, State
from wizard.flow.model import Fault, Flow

LEAST = 0.5
"""The evidence from which on a finding counts as more likely there than not."""


def speaks(flow: Flow, given: Given, fault: Fault, least: float = LEAST) -> bool:
    """True when the answer fails a test of the fault, or is evidence for a finding that the fault shows."""
    if given.verdict == "fail" and f"{given.inspection}.{given.step}" in fault.confirm:
        return True
    shows = (f for f, e in given.evidence.items() if e >= least and f in flow.findings)
    return any(flow.findings[f].weights.get(fault.id, 0.0) > 0.0 for f in shows)


def presumed(flow: Flow, state: State, fault: Fault) -> bool:
    """True when the flow names checks that confirm the fault, and none was done with a result that speaks for it.

    What is computed in the same inspection counts as its check. What is confirmed alone (normal for its kind) shows
    no finding of its own: there it is enough that a check was done.
    """
    done = [g for g in state.given if not g.aside and g.how == "answer" and _checks(flow, g, fault)]
    told = bool(done) if fault.alone else any(speaks(flow, g, fault) for g in done)
    return bool(fault.confirm) and not told


def _checks(flow: Flow, given: Given, fault: Fault) -> bool:
    """True when the answer is one of the fault's checks, or was computed where one of them is made."""
    if f"{given.inspection}.{given.step}" in fault.confirm:
        return True
    inspection = flow.inspections.get(given.inspection)
    step = inspection.step(given.step) if inspection else None
    beside = given.inspection in {where.partition(".")[0] for where in fault.confirm}
    return beside and step is not None and step.kind == "compute"
