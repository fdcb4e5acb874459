"""What a repair lacks to be proved: each proof, or measuring again, that was not made or did not come out well."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.domain.vocabulary import AnswerHow, InspectionResult, Phase, RepairOutcome, Verdict
from wizard.engine.queries import inspection_queries, proof_queries
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView

_GOOD = (InspectionResult.PASS, InspectionResult.WATCH, InspectionResult.DONE)


@dataclass(frozen=True, slots=True)
class UnfinishedProof:
    """One inspection that would prove the repair and doesn't: how it stands, and what was said or found there.

    ``again``: it is a measuring again that the remedy asks for, maybe of one ``step``.
    """

    inspection: str
    result: InspectionResult
    reason: str
    again: bool = False
    step: str = ""


def unfinished_proofs(view: JobView) -> tuple[UnfinishedProof, ...]:
    """What stands between the repairs and their proof, in the flow's order; none where they are proved.

    Every proof that the repairs ask for must have been made and none have failed, nor any measuring again. Of the
    search only what stands among the proofs counts, and there only that it was looked at.
    """
    return (*_proofs(view), *_again(view))


def failing_proofs(view: JobView) -> tuple[UnfinishedProof, ...]:
    """The proofs that were made and failed, whether or not anything was repaired: what the machine does is wrong."""
    return tuple(
        proof
        for proof in _proofs(view)
        if proof.result is InspectionResult.FAIL and inspection_queries.proves(view.flow, proof.inspection)
    )


def _proofs(view: JobView) -> Iterator[UnfinishedProof]:
    for name in proof_queries.demanded(view):
        result = inspection_queries.result(view.state, name)
        if inspection_queries.proves(view.flow, name):
            missing = result not in _GOOD
        else:
            missing = result in (*inspection_queries.NOT_DONE, InspectionResult.SKIPPED)
        if missing:
            yield UnfinishedProof(name, result, _reason(view.state, name, result))


def _again(view: JobView) -> Iterator[UnfinishedProof]:
    state = view.state
    fitted = (r for r in state.repairs if r.outcome is RepairOutcome.FITTED)
    for where in dict.fromkeys(where for r in fitted for where in r.recheck):
        result = inspection_queries.result(state, where.inspection, Phase.AFTER)
        if result not in _GOOD:
            reason = state.unmeasured.get(where) or _reason(state, where.inspection, result)
            yield UnfinishedProof(where.inspection, result, reason, True, where.step)


def _reason(state: State, inspection: str, result: InspectionResult) -> str:
    """What was said where it was left out, or what was found where it failed; empty where nobody said anything."""
    if inspection in state.skipped and result.value == state.skipped[inspection][0].value:
        return state.skipped[inspection][1]
    runs = inspection_queries.runs_of(state, inspection)
    given = {g.step: g for g in state.answers(runs[-1].id)}.values() if runs else ()
    if result is InspectionResult.FAIL:
        return "; ".join(g.says for g in given if g.verdict is Verdict.FAIL and g.says)
    left = [g.says for g in given if g.left_out and g.says]
    return "; ".join(
        dict.fromkeys((*(g.reason for g in given if g.how is not AnswerHow.ANSWER and g.reason), *left))
    )
