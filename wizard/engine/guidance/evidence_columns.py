"""What was answered before and after each repair, for the network that keeps them apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import RepairOutcome, StepKind
from wizard.engine.state.job_state import AnswerRecord, Repair
from wizard.engine.state.job_view import JobView

if TYPE_CHECKING:
    from wizard.diagnosis.network_model import Network


def repairs_made(view: JobView) -> tuple[Repair, ...]:
    """What was fitted, in order; not what excludes all other faults (normal for its kind), which repairs nothing."""
    fitted = (r for r in view.state.repairs if r.outcome is RepairOutcome.FITTED)
    return tuple(sorted((r for r in fitted if view.flow.may_repair(r.fault)), key=_seq))


def _seq(repair: Repair) -> int:
    return repair.seq


def evidence_columns(base: Network, view: JobView) -> dict[str, float]:
    """The evidence for each column of the network with the repairs made; ``base`` is the one without any.

    Several steps on one finding combine; the same step asked again is no second witness, so its last answer counts,
    until a repair changed what it looks at.
    """
    from wizard.diagnosis.evidence_combination import combined

    return {place: combined(list(by_step.values())) for place, by_step in heard(base, view).items()}


def looked_columns(base: Network, view: JobView) -> frozenset[str]:
    """The columns that neither a reading nor a recording speaks of, but looks and answers alone."""
    flow = view.flow
    steps = {place: [flow.step(StepRef(*where)) for where in by] for place, by in heard(base, view).items()}
    read = (StepKind.MEASURE, StepKind.COMPUTE, StepKind.RECORD)
    recorded = {(g.inspection, g.step) for g in view.state.answer_records if g.recording and not g.aside}
    told = {place: recorded.isdisjoint(by) for place, by in heard(base, view).items()}
    return frozenset(
        p for p, found in steps.items() if told[p] and not any(s and s.kind in read for s in found)
    )


def heard(base: Network, view: JobView) -> dict[str, dict[tuple[str, str], float]]:
    """For each column of the network with the repairs made the steps that spoke of it, with their evidence."""
    from wizard.diagnosis.repaired_network import column, last_change

    made = _made(base, view)
    repairs, findings = [r.fault for r in made], frozenset(base.findings)
    heard: dict[str, dict[tuple[str, str], float]] = {}
    for g in view.state.answer_records:
        if g.aside:
            continue
        count = _made_before(made, g)
        for finding, e in g.graded_evidence.items():
            if finding in findings:
                place = column(finding, last_change(base, repairs, finding, count))
                heard.setdefault(place, {})[g.inspection, g.step] = e
    return heard


def current_columns(base: Network, view: JobView) -> dict[str, str]:
    """The column in which each finding is answered now, after the repairs made; ``base`` is the network without any."""
    from wizard.diagnosis.repaired_network import column, last_change

    made = [r.fault for r in _made(base, view)]
    return {f: column(f, last_change(base, made, f, len(made))) for f in base.findings}


def _made(base: Network, view: JobView) -> list[Repair]:
    """The repairs of faults that this machine's network has, in order."""
    return [r for r in repairs_made(view) if r.fault in base.faults]


def _made_before(made: list[Repair], given: AnswerRecord) -> int:
    return sum(r.seq < given.seq for r in made)
