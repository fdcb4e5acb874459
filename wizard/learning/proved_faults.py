"""Which faults a session proved: repaired, and the proof passed."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.vocabulary import JobOutcome
from wizard.engine.guidance.evidence_columns import repairs_made
from wizard.engine.state.fault_evidence import speaking
from wizard.engine.state.job_state import Repair
from wizard.engine.state.job_view import JobView


@dataclass(frozen=True, slots=True)
class ProvedFaults:
    """``certain``: there, as far as a proof can tell. ``doubtful``: repaired too, and it may have been there or not.

    All other faults are taken as absent: what passes the proof is not looked for.
    """

    certain: tuple[str, ...]
    doubtful: tuple[str, ...] = ()


def proved_faults(view: JobView) -> ProvedFaults | None:
    """Return what a closed session proved, or None where its proof is not whole or nothing was repaired.

    One fault repaired after the last decision is what the proof proves. Of several, those that their own check found
    are certain, and the others doubtful; so is what was repaired before a proof failed, since that says only that
    something was left.
    """
    if view.state.outcome is not JobOutcome.PROVED:
        return None
    made = repairs_made(view)
    last = [r for r in made if r.seq > view.state.decided_seq and r.holds]
    if not made:
        return None
    certain = last if len(last) == 1 else [r for r in last if _checked(view, r)]
    sure = tuple(dict.fromkeys(r.fault for r in certain))
    return ProvedFaults(sure, tuple(dict.fromkeys(r.fault for r in made if r.fault not in sure)))


def _checked(view: JobView, repair: Repair) -> bool:
    """True where a check of the fault's own found it before the repair."""
    fault = view.flow.faults[repair.fault]
    return bool(fault.confirm) and any(g.seq < repair.seq for g in speaking(view, fault))
