"""Compare a flow with the approval beside it: what asks for less is an error, anything else that differs a warning."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.domain.counting import plural
from wizard.domain.vocabulary import Severity
from wizard.errors import FlowError
from wizard.flow.model import Flow
from wizard.flow.problems import Problem
from wizard.flowcheck.approval import approval_file
from wizard.flowcheck.approval.approval_file import Approval
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind
from wizard.flowcheck.approval.claim_changes import ClaimChange, ClaimShift, changes
from wizard.flowcheck.approval.claim_locations import ClaimLocations
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.model.counterexample import Counterexample
from wizard.foreign.harmless import harmless

if TYPE_CHECKING:
    from wizard.flow.rules.rule_context import FlowIndex

RULE = "approved"
_MOST_NAMED = 8
_AS_IS = {
    ClaimShift.WEAKER: "That may ask for less than was approved, or let more be",
    ClaimShift.STRONGER: "More is asked than was approved",
    ClaimShift.OTHER: "It asks for no less",
}


@dataclass(frozen=True, slots=True)
class ApprovalBeside:
    """What lies beside a flow's folder: its approval, none (None), or one that can't be read, and then why."""

    name: str
    approval: Approval | None = None
    unreadable: str = ""

    @classmethod
    def of(cls, folder: Path, name: str = "") -> ApprovalBeside:
        """Read what lies beside this folder. ``name`` is what the flow is called on the command line."""
        try:
            return cls(name or folder.name, approval_file.load(approval_file.path_of(folder)))
        except FlowError as problem:
            return cls(name or folder.name, unreadable=str(problem))

    @property
    def anew(self) -> str:
        """How it is approved."""
        return f"steadfoot flow approve {self.name}"


@dataclass(slots=True)
class _Group:
    """Differences that are one: of a place that is gone or new, or that reaches inherit from one another."""

    first: ClaimChange
    whole: bool
    names: list[str] = field(default_factory=list)


def approved(flow: Flow, index: FlowIndex, beside: ApprovalBeside) -> Iterator[Problem]:
    """Yield what a flow claims otherwise than was approved. The flow has no errors of form."""
    if beside.approval is None:
        yield _unapproved(index, beside)
        return
    if beside.approval.flow != flow.id:
        message = (
            f'{beside.approval.by} approved the flow "{beside.approval.flow}", not this one. Have it approved'
        )
        yield index.error(index.head(), ("id",), f"{message}: {beside.anew}", RULE)
        return
    present = claims(flow)
    locations = ClaimLocations(index)
    for group in _groups(changes(beside.approval.claims, present, flow), present, beside.approval, locations):
        yield _problem(group, beside, beside.approval, locations)


def _unapproved(index: FlowIndex, beside: ApprovalBeside) -> Problem:
    """Say that nobody approved the flow, or that what says so can't be read."""
    if beside.unreadable:
        return index.error(index.head(), ("id",), beside.unreadable, RULE)
    message = f"nobody approved what it claims. List it: steadfoot flow claims {beside.name}; approve it: {beside.anew}"
    return index.warning(index.head(), ("id",), message, RULE)


def _groups(
    differing: Iterable[ClaimChange],
    present: Iterable[Claim],
    approval: Approval,
    locations: ClaimLocations,
) -> list[_Group]:
    """What differs, what belongs together in one: a place gone or new with all its claims, or a need of a reach with
    those of the reaches that inherit it.
    """
    now, then = ({claim.place for claim in some} for some in (present, approval.claims))
    groups: dict[object, _Group] = {}
    kept = [change for change in differing if change.claim.place in now & then]
    alike: dict[object, set[ClaimPlace]] = {}
    for change in kept:
        alike.setdefault(_difference(change), set()).add(change.claim.place)
    rooted = {c: _root(c.claim.place, alike[_difference(c)], locations) for c in kept}
    # The root of those that inherit comes first: it is where the difference is written.
    for change in sorted(differing, key=lambda c: rooted.get(c, c.claim.place) != c.claim.place):
        place = change.claim.place
        if change in rooted:
            group = groups.setdefault((rooted[change], _difference(change)), _Group(change, False))
            if place != group.first.claim.place:
                group.names.append(f"and so at {place}")
        else:
            group = groups.setdefault((place, change.shift), _Group(change, True))
            group.names.append(change.claim.says)
    return list(groups.values())


def _difference(change: ClaimChange) -> object:
    """What differs, wherever it is."""
    values = tuple(one.values if one else None for one in (change.approved, change.present))
    return change.claim.kind, change.claim.of, values


def _root(place: ClaimPlace, alike: set[ClaimPlace], locations: ClaimLocations) -> ClaimPlace:
    """The reach from which a reach inherits a difference, going on from one to the next; any other place itself."""
    seen = {place}
    while place.kind is PlaceKind.REACH:
        base = ClaimPlace(PlaceKind.REACH, (locations.base(place.ids[0]),))
        if base not in alike or base in seen:
            break
        seen.add(base)
        place = base
    return place


def _problem(
    group: _Group, beside: ApprovalBeside, approval: Approval, locations: ClaimLocations
) -> Counterexample:
    change = group.first
    who, names = f"{approval.by} approved", tuple(group.names)
    if group.whole:
        gone = change.present is None
        what = _whole(change.claim.place, gone, len(names), f"{who} the flow on {approval.day}")
        if len(names) > _MOST_NAMED:
            names = (*names[:_MOST_NAMED], f"and {len(names) - _MOST_NAMED} more")
    else:
        what = _one(change, who, approval.day)
    weaker = change.shift is ClaimShift.WEAKER
    back = "Put it back" if change.approved is not None else "Take it out"
    ways = f"{back}, or have it approved: {beside.anew}" if weaker else f"Have it approved: {beside.anew}"
    text = harmless(f"{what}. {_AS_IS[change.shift]}. {ways}")
    severity = Severity.ERROR if weaker else Severity.WARNING
    return Counterexample(*locations.of(change.claim), text, RULE, severity, (), tuple(map(harmless, names)))


def _whole(place: ClaimPlace, gone: bool, count: int, who: str) -> str:
    """A place that is gone or new."""
    some = plural(count, "claim")
    return f'"{place}" is {"gone" if gone else "new"}, with {some}, since {who}'


def _one(change: ClaimChange, who: str, day: str) -> str:
    """One claim that differs."""
    if change.present is None:
        return f'"{change.approved}" is gone; {who} it on {day}'
    if change.approved is None:
        return f'"{change.present}" is new since {who} the flow on {day}'
    was, now = (", ".join(one.values) or "nothing" for one in (change.approved, change.present))
    of = f"{change.present.place}: {change.present.kind.value} {change.present.of}".rstrip()
    return f'"{of}" is {now}; {who} {was} on {day}'
