"""The claims of faults: what one says of the machine, and what its remedy needs, changes and leaves so."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.flow.model import Fault
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind, claim
from wizard.flowcheck.approval.claim_kinds import ClaimKind
from wizard.flowcheck.approval.machine_claims import flags, per_name
from wizard.flowcheck.approval.step_claims import brought_about, cautions


def fault(one: Fault) -> Iterator[Claim]:
    """What it needs and says once it is confirmed, by which steps that is, and the claims of its remedy."""
    at = ClaimPlace(PlaceKind.FAULT, (one.id,))
    yield from per_name(at, ClaimKind.NEEDS, one.needs)
    yield from per_name(at, ClaimKind.SAYS, one.so)
    yield from flags(at, {ClaimKind.HAZARD: bool(one.hazard)})
    if one.confirm:
        yield claim(at, ClaimKind.CONFIRMED, values=map(str, one.confirm))
    yield from _remedy(one)


def _remedy(one: Fault) -> Iterator[Claim]:
    remedy, at = one.remedy, ClaimPlace(PlaceKind.REMEDY, (one.id,))
    yield claim(at, ClaimKind.SHOWN, values=(remedy.reach,))
    yield from per_name(at, ClaimKind.NEEDS, remedy.needs)
    yield from flags(at, {ClaimKind.VOUCHED: bool(remedy.because)})
    yield from per_name(at, ClaimKind.MAY, remedy.may)
    yield from brought_about(at, remedy.so, remedy.may)
    yield from cautions(at, remedy.caution)
    if remedy.recheck:
        yield claim(at, ClaimKind.RECHECK, values=map(str, remedy.recheck))
    for approach in remedy.approaches:
        way = ClaimPlace(PlaceKind.APPROACH, (one.id, approach.id))
        yield claim(way, ClaimKind.REACH_BESIDES, values=(approach.reach,))
        yield claim(way, ClaimKind.KNOWN_BY, values=(str(approach.step), approach.answer))
