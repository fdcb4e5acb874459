"""What is said of claims and of their differences: lines for people, tables for programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from wizard.flow.model import Flow
from wizard.flow.model.steps import HandsStep
from wizard.flowcheck.approval.claim import Claim, PlaceKind
from wizard.flowcheck.approval.claim_changes import ClaimChange, ClaimShift
from wizard.flowcheck.approval.claim_kinds import Bearing, ClaimKind
from wizard.flowcheck.approval.claim_locations import ClaimLocations

_SIGNS = {ClaimShift.WEAKER: "-", ClaimShift.STRONGER: "+", ClaimShift.OTHER: "~"}


def words(flow: Flow, claim: Claim) -> str:
    """The words of the flow by which an allowance is judged: those of its step and answer, its fault or its fact."""
    if claim.bearing is not Bearing.ALLOWANCE:
        return ""
    ids, step = claim.place.ids, claim.place.step
    if step is not None:
        found = flow.step(step)
        answer = found.answer(ids[1]) if found and len(ids) > 1 else None
        why = found.because if isinstance(found, HandsStep) and claim.kind is ClaimKind.VOUCHED else ""
        spoken = [found.do if found else "", answer.says if answer else why]
    elif claim.place.kind in (PlaceKind.FAULT, PlaceKind.REMEDY) and ids[0] in flow.faults:
        fault = flow.faults[ids[0]]
        of_remedy = claim.place.kind is PlaceKind.REMEDY
        spoken = [fault.remedy.says if of_remedy else fault.says, *(fault.remedy.do if of_remedy else ())]
    elif claim.place.kind in (PlaceKind.FACT, PlaceKind.VALUE):
        asked = flow.fact(ids[0])
        value = asked.value(ids[1]) if asked and len(ids) > 1 else None
        spoken = [asked.ask if asked else "", value.says if value else ""]
    elif claim.place.kind is PlaceKind.STOP and ids[0] in flow.stops:
        spoken = [flow.stops[ids[0]].says]
    else:
        spoken = []
    return " / ".join(" ".join(text.split()) for text in spoken if text)


def lines(flow: Flow, claims: Iterable[Claim], locations: ClaimLocations) -> Iterator[str]:
    """The claims by file, each with its line there, and above allowances the words that they rest on, once for all of
    an answer.
    """
    last_file = last_words = ""
    for (file, line, _column), claim in _by_file(claims, locations):
        if file != last_file:
            yield from ([""] if last_file else []) + [file]
        spoken = words(flow, claim)
        if spoken and spoken != last_words:
            yield f'    "{spoken}"'
        yield f"  {line}: {claim.bearing} {claim}"
        last_file, last_words = file, spoken


def tables(flow: Flow, claims: Iterable[Claim], locations: ClaimLocations) -> list[dict[str, Any]]:
    """The same for programs."""
    return [
        {"file": file, "line": line, "column": column} | _plain(flow, claim)
        for (file, line, column), claim in _by_file(claims, locations)
    ]


def change_lines(flow: Flow, changes: Iterable[ClaimChange]) -> Iterator[str]:
    """Differences, a line each of what was and what is, and below an allowance the words that it rests on."""
    for change in changes:
        sign = _SIGNS[change.shift]
        yield f"{sign} {change.shift}: {_difference(change)}"
        spoken = words(flow, change.present) if change.present else ""
        if spoken:
            yield f"    {spoken}"


def change_table(flow: Flow, change: ClaimChange) -> dict[str, Any]:
    """A difference for programs."""
    return _plain(flow, change.claim) | {
        "shift": change.shift,
        "approved": str(change.approved) if change.approved else None,
        "present": str(change.present) if change.present else None,
    }


def _difference(change: ClaimChange) -> str:
    if change.approved is None:
        return f"new: {change.present}"
    if change.present is None:
        return f"gone: {change.approved}"
    return f"{change.approved} is now {', '.join(change.present.values) or 'nothing'}"


def _by_file(claims: Iterable[Claim], locations: ClaimLocations) -> list[tuple[tuple[str, int, int], Claim]]:
    return sorted(
        ((locations.of(claim), claim) for claim in claims),
        key=lambda found: (found[0][0], found[0][1], str(found[1])),
    )


def _plain(flow: Flow, claim: Claim) -> dict[str, Any]:
    return {"claim": str(claim), "bearing": claim.bearing, "words": words(flow, claim)}
