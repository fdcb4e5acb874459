"""What differs between the claims that were approved and those of a flow as it is, and which way each differs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum, unique
from math import isfinite

from wizard.domain.vocabulary import SignalWord
from wizard.flow.model import Flow, Reach
from wizard.flowcheck.approval.claim import Claim
from wizard.flowcheck.approval.claim_kinds import Bearing, Measure

Values = tuple[str, ...]
_GRAVEST_FIRST = tuple(word.value for word in SignalWord)


@unique
class ClaimShift(StrEnum):
    """What a difference does to what keeps people safe."""

    WEAKER = "weaker"
    """Less is asked, or more is let be; or nobody but a person can tell."""
    STRONGER = "stronger"
    OTHER = "other"
    """Neither: as an order with more in it."""


@dataclass(frozen=True, slots=True)
class ClaimChange:
    """One difference: a claim as it was approved and as it is. One of the two may be missing."""

    approved: Claim | None
    present: Claim | None
    shift: ClaimShift

    @property
    def claim(self) -> Claim:
        """The claim as it is; as it was approved where it is gone."""
        found = self.present or self.approved
        assert found is not None
        return found


def changes(approved: Iterable[Claim], present: Iterable[Claim], flow: Flow) -> tuple[ClaimChange, ...]:
    """Every difference, the weaker ones first, each in the order of its lines. ``flow`` is the one of ``present``: how
    far its reaches go decides which of two asks for more.
    """
    before, after = ({one.key: one for one in some} for some in (approved, present))
    found = [
        ClaimChange(old, new, _shift(old, new, flow.reaches))
        for key in before.keys() | after.keys()
        for old, new in ((before.get(key), after.get(key)),)
        if old != new
    ]
    order = tuple(ClaimShift)
    return tuple(sorted(found, key=lambda one: (order.index(one.shift), str(one.claim))))


def comparable(claim: Claim) -> Claim:
    """The claim, if its values are such as its kind has; ValueError where they can't be compared."""
    if claim.measure in (Measure.LEAST, Measure.MOST) and not (
        claim.values and all(map(isfinite, _numbers(claim.values)[0]))
    ):
        raise ValueError(f"no number: {claim}")
    if claim.measure is Measure.GRAVITY and not set(claim.values) <= set(_GRAVEST_FIRST):
        raise ValueError(f"no signal word: {claim}")
    return claim


def _shift(old: Claim | None, new: Claim | None, reaches: Mapping[str, Reach]) -> ClaimShift:
    known = old or new
    assert known is not None
    demand = known.bearing is Bearing.DEMAND
    if old is None or new is None:
        if known.measure is Measure.EXACT and not demand:
            return ClaimShift.WEAKER
        return ClaimShift.STRONGER if (old is None) is demand else ClaimShift.WEAKER
    if known.measure is Measure.ORDER:
        kept = tuple(value for value in new.values if value in old.values)
        return ClaimShift.OTHER if kept == old.values else ClaimShift.WEAKER
    says = _MEASURES[known.measure]
    # Of a demand the new one must say all that the old one did; of an allowance the old one all that the new one does.
    first, second = (new.values, old.values) if _safer_when_fuller(known) else (old.values, new.values)
    return ClaimShift.STRONGER if says(first, second, reaches) else ClaimShift.WEAKER


def _safer_when_fuller(claim: Claim) -> bool:
    """True where a claim that says more keeps people safer: a demand, a further reach, a shorter time."""
    return claim.bearing is Bearing.DEMAND or claim.measure in (Measure.REACH, Measure.MOST)


def _numbers(values: Values) -> tuple[list[float], list[str]]:
    parted = [value.partition(" ") for value in values]
    return [float(number) for number, _, _ in parted], [unit for _, _, unit in parted]


def _least(first: Values, second: Values, _reaches: Mapping[str, Reach]) -> bool:
    (mine, units), (other, as_before) = _numbers(first), _numbers(second)
    # The last one counts for all times after it.
    longest = max(len(mine), len(other))
    return set(units) == set(as_before) and all(
        a >= b for a, b in zip(_filled(mine, longest), _filled(other, longest), strict=True)
    )


def _filled(numbers: list[float], length: int) -> list[float]:
    return numbers + numbers[-1:] * (length - len(numbers))


def _grave(first: Values, second: Values, _reaches: Mapping[str, Reach]) -> bool:
    """True where each word of the second has one of the first that is as grave."""
    mine, other = ([_GRAVEST_FIRST.index(word) for word in words] for words in (first, second))
    return len(mine) >= len(other) and all(a <= b for a, b in zip(sorted(mine), sorted(other), strict=False))


def as_far(first: Reach, second: Reach) -> bool:
    """True where whoever may be at the first reach might be at the second as well."""
    return (
        all(first.needs.get(name, allowed | {""}) <= allowed for name, allowed in second.needs.items())
        and all(first.begins.get(name, allowed | {""}) <= allowed for name, allowed in second.begins.items())
        and all(first.may.get(name, frozenset()) >= values for name, values in second.may.items())
        and first.warns >= second.warns
    )


def _reach(first: Values, second: Values, reaches: Mapping[str, Reach]) -> bool:
    known = [reaches.get(name) for name in (*first, *second)]
    mine, other = known if len(known) == len(("first", "second")) else (None, None)
    return mine is not None and other is not None and as_far(mine, other)


_MEASURES: Mapping[Measure, Callable[[Values, Values, Mapping[str, Reach]], bool]] = {
    Measure.ONLY: lambda first, second, _reaches: set(first) <= set(second),
    Measure.ANY: lambda first, second, _reaches: set(first) >= set(second),
    Measure.LEAST: _least,
    Measure.MOST: lambda first, second, reaches: _least(second, first, reaches),
    Measure.GRAVITY: _grave,
    Measure.REACH: _reach,
    Measure.EXACT: lambda _first, _second, _reaches: False,
}
"""How the first of two values says all that the second does, and perhaps more."""
