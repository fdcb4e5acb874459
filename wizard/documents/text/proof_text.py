"""Why a repair is not proved, and what would prove it, as people say it."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.documents.text.formatting import also
from wizard.domain.vocabulary import InspectionResult, JobOutcome
from wizard.engine.guidance.evidence_columns import repairs_made
from wizard.engine.handlers import visit_end
from wizard.engine.queries.proving import UnfinishedProof, failing_proofs, unfinished_proofs
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow

_STANDS: Mapping[InspectionResult, str] = {
    InspectionResult.NOT_BEGUN: "not done",
    InspectionResult.OPEN: "begun, and not finished",
    InspectionResult.SKIPPED: "left out",
    InspectionResult.UNABLE: "could not be done",
    InspectionResult.NOT_FITTED: "not to be had on this machine",
    InspectionResult.FAIL: "did not come out well",
}


def unproved(view: JobView) -> tuple[UnfinishedProof, ...]:
    """What keeps a repair that was made from being proved, whatever else was declined; what failed, where no fault was
    confirmed, or a repair was made and other parts are on order. None where the job ends, or ended, otherwise.
    """
    ended, made = ending(view), bool(repairs_made(view))
    if ended is JobOutcome.UNEXPLAINED or (ended in (JobOutcome.ON_ORDER, JobOutcome.PUT_OFF) and made):
        return failing_proofs(view)
    open_still = ended in (JobOutcome.NOT_PROVED, JobOutcome.PROOF_FAILED) or (
        ended is JobOutcome.DECLINED and made
    )
    return unfinished_proofs(view) if open_still else ()


def left_out_at_the_end(view: JobView) -> tuple[UnfinishedProof, ...]:
    """What is checked before one leaves, and was not, where no fault was confirmed, so there is nothing to prove."""
    if ending(view) is not JobOutcome.NO_FAULT:
        return ()
    return tuple(proof for proof in unfinished_proofs(view) if proof.result is not InspectionResult.FAIL)


def ending(view: JobView) -> JobOutcome | None:
    """How the job ended, or would end now; None while nothing was decided."""
    return view.state.outcome or (visit_end.outcome(view) if view.state.decided is not None else None)


def unfinished_words(flow: Flow, proof: UnfinishedProof) -> str:
    """'Proving spin: left out. The customer had to leave.'"""
    again = ", measuring again" if proof.again else ""
    stands = _STANDS.get(proof.result, proof.result)
    return also(
        f"{flow.title_of(proof.inspection)}{again}: {stands}.",
        "" if proof.reason.casefold() == stands else proof.reason,
    )


UNEXPLAINED = "What causes it was not found."
"""Where a proof failed and no fault was confirmed."""
LOOK_ON = "It takes another visit to look further."


def proof_words(view: JobView, proofs: tuple[UnfinishedProof, ...]) -> str:
    """'What would prove it: Proving spin, done to the end, with nothing that fails.' Where nothing was confirmed, so
    that there is nothing to prove: that the cause was not found.
    """
    if ending(view) is JobOutcome.UNEXPLAINED:
        return f"{UNEXPLAINED} {LOOK_ON}"
    titles = dict.fromkeys(view.flow.title_of(proof.inspection) for proof in proofs)
    return f"What would prove it: {', '.join(titles)}, done to the end, with nothing that fails."
