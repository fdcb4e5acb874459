"""The proofs of a flow that need its whole model or the diagnosis: each problem with a witness that shows it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.engine.safety.flow_rules import Rules
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.checks import fault_evidence_reach, played_cases
from wizard.flowcheck.checks.belief_meeting import Meeting
from wizard.flowcheck.checks.claim_conflicts import leaving, repairs
from wizard.flowcheck.checks.corroboration import evidence
from wizard.flowcheck.checks.played_cases import Coverage, coverage
from wizard.flowcheck.checks.soundness import soundness
from wizard.flowcheck.model.counterexample import Counterexample, Places

if TYPE_CHECKING:
    from wizard.flow.rules.rule_context import FlowIndex
    from wizard.flowcheck.cases.case_result import Played
    from wizard.flowcheck.cases.stop_cases import StopTried

__all__ = [
    "Counterexample",
    "Counts",
    "Coverage",
    "Proof",
    "coverage",
    "prove",
    "prove_cases",
    "prove_played",
]


@dataclass(frozen=True, slots=True)
class Counts:
    """What the proof went through: different sets of needs, beliefs of all kinds of machine, acts followed."""

    needs: int = 0
    beliefs: int = 0
    acts: int = 0


@dataclass(frozen=True, slots=True)
class Proof:
    """What is wrong with a flow as it is worked, errors and warnings, in the order of their places; and the
    counts.
    """

    problems: tuple[Counterexample, ...]
    counts: Counts


def prove(flow: Flow, cases: Iterable[Case] | None = None, index: FlowIndex | None = None) -> Proof:
    """Everything that is wrong with a flow as it is worked.

    The flow must have passed the static check. ``cases`` are played too, and each fault must have one; None leaves
    both out. ``index`` (``wizard.flow.loading.static_check.examine``) gives the places in the files.
    """
    places = Places(index)
    rules = Rules.of(flow)
    unsound = tuple(soundness(rules, places))
    if unsound:
        return Proof(_in_order(unsound), Counts())
    meeting = Meeting(rules, places)
    found = [
        *meeting.prove(),
        *leaving(meeting, places),
        *repairs(meeting, places),
        *evidence(rules, places),
        *fault_evidence_reach.faults(flow, places),
    ]
    if cases is not None:
        reported = tuple(cases)
        found += fault_evidence_reach.without_case(flow, places, reported)
        found += played_cases.failed(places, played_cases.run(flow, reported))
    outcomes = [outcome for _, outcome in meeting.outcomes.values()]
    counts = Counts(len(outcomes), meeting.beliefs, sum(outcome.steps for outcome in outcomes))
    return Proof(_in_order(found), counts)


def prove_cases(
    flow: Flow, cases: Iterable[Case], index: FlowIndex | None = None
) -> tuple[Counterexample, ...]:
    """Each fault that has no case; the cases are not played."""
    return _in_order(fault_evidence_reach.without_case(flow, Places(index), cases))


def prove_played(
    flow: Flow, results: Iterable[Played], index: FlowIndex | None = None, tried: Iterable[StopTried] = ()
) -> tuple[Counterexample, ...]:
    """What is wrong with cases that were played already, and with answers that were ``tried`` whether they stop."""
    places = Places(index)
    return _in_order((*played_cases.failed(places, results), *played_cases.not_stopped(places, tried)))


def _in_order(found: Iterable[Counterexample]) -> tuple[Counterexample, ...]:
    """Each once, by its place."""
    return tuple(sorted(set(found), key=lambda p: p.place))
