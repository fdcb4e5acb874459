"""What one closed session says of its flow's numbers: the machine, what was proved, what was asked before that."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum, unique

from wizard.diagnosis.evidence_combination import combine_all
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import JobState, RepairOutcome
from wizard.engine.messages.events import Recorded
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.model import fits
from wizard.learning.job.curve_readings import CurveReading, curve_readings
from wizard.learning.job.either_way import either_way
from wizard.learning.job.run_clock import RunSeconds, run_seconds
from wizard.learning.proved_faults import ProvedFaults, proved_faults

NOTHING_LEARNT = 0.5
"""Evidence that says nothing: as if the finding had not been asked."""


@unique
class WhyLeftOut(StrEnum):
    """Why a session says nothing of a flow's numbers."""

    OTHER_FLOW = "of another flow"
    NOT_CLOSED = "not closed"
    FORGED = "not as the program wrote it"
    UNREADABLE = "can't be read"
    NO_KIND = "the kind of machine is not known"


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A session that is not learned from. ``says``: more of why, may be empty."""

    session: str
    why: WhyLeftOut
    says: str = ""


@dataclass(frozen=True, slots=True)
class Observation:
    """What a closed session says.

    ``at``: when it was closed (UTC, ISO 8601). ``faults``: what was proved to be there and what may have been; None
    where nothing was proved. ``evidence``: of each finding that was asked before the first repair, from 0 (ruled out)
    to 1 (seen), as the ranking had it; ``either``: the same by the steps alone that could have said either, which
    teach weights. ``minutes``: the runs of inspections that nobody interrupted. ``readings``: those of before the first
    repair that spoke by a limit's curve; what each came to is part of ``evidence`` and of ``either``.
    """

    session: str
    at: str
    facts: Mapping[str, str]
    faults: ProvedFaults | None = None
    evidence: Mapping[str, float] = field(default_factory=dict)
    either: Mapping[str, float] = field(default_factory=dict)
    minutes: tuple[RunSeconds, ...] = field(default=(), compare=False)
    readings: tuple[CurveReading, ...] = ()


def observe(view: JobView, records: Sequence[Recorded] = ()) -> Observation | LeftOut:
    """Return what a session says as it stands in ``view``. Without its ``records`` it says nothing of minutes.

    That the record is what the program wrote is for who reads it to see to: nothing is verified here.
    """
    state = view.state
    if state.job is not JobState.CLOSED or state.outcome is None:
        return LeftOut(state.session, WhyLeftOut.NOT_CLOSED)
    kind = state.facts.get(view.flow.kind, "")
    if not any(fault.share.get(kind) and not fault.alone for fault in view.flow.faults.values()):
        return LeftOut(state.session, WhyLeftOut.NO_KIND)
    return Observation(
        state.session,
        state.at,
        dict(state.facts),
        proved_faults(view),
        evidence_before_repair(view),
        evidence_before_repair(view, either=True),
        run_seconds(view, records),
        readings_before_repair(view),
    )


def evidence_before_repair(view: JobView, either: bool = False) -> dict[str, float]:
    """Return the evidence of each finding of this machine from what was answered before the first repair.

    The same step asked again is no second witness: its last answer counts. What says nothing (0.5) is left out.
    ``either``: only what steps say that could have said either (`either_way`).
    """
    heard: dict[str, list[float]] = {}
    for ref, given in _last(view.state).items():
        step = view.flow.step(ref) if either else None
        told = either_way(step) if step is not None else frozenset()
        for finding, e in given.evidence.items():
            if not either or finding in told:
                heard.setdefault(finding, []).append(e)
    known = _findings(view)
    combined = {finding: combine_all(es) for finding, es in heard.items() if finding in known}
    return {finding: e for finding, e in combined.items() if e != NOTHING_LEARNT}


def readings_before_repair(view: JobView) -> tuple[CurveReading, ...]:
    """Return the readings of this machine's findings that spoke by a curve, of the answers of before the first repair
    that count.
    """
    known = _findings(view)
    return tuple(r for r in curve_readings(view, _last(view.state).values()) if r.finding in known)


def _findings(view: JobView) -> frozenset[str]:
    """The findings that this machine can have."""
    return frozenset(f.id for f in view.flow.findings.values() if fits(f.applies, view.state.facts))


def _last(state: State) -> dict[StepRef, AnswerRecord]:
    """The last answer of each step of before the first repair."""
    return {given.ref: given for given in _counted(state)}


def _counted(state: State) -> list[AnswerRecord]:
    fitted = [r.seq for r in state.repairs if r.outcome is RepairOutcome.FITTED]
    first = min(fitted, default=state.seq + 1)
    return [g for g in state.answer_records if not g.aside and g.seq < first]
