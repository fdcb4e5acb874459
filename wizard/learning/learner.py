"""From observations to all that they say of a flow's numbers: the whole of it, with the score on later sessions."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace

from wizard.flow.model import Flow
from wizard.foreign.work_beside import work_beside
from wizard.learning.curves_fit import fit_curves
from wizard.learning.estimate import Estimate, NumberId, NumberKind, NumberStanding
from wizard.learning.held_out import HeldOut, score, split
from wizard.learning.minutes_fit import fit_minutes
from wizard.learning.numbered_flow import with_numbers, written
from wizard.learning.observation import Observation
from wizard.learning.regrading import regraded
from wizard.learning.shares_fit import fit_shares
from wizard.learning.weights_fit import fit_weights

Trainer = Mapping[NumberId, float]
Say = Callable[[str], None]
FEW = 400
"""Up to so many sessions all is done in this process."""
SCORE_ENDED = (
    "The process that scores what is learned was ended by the system. Learn again with --processes 1."
)

BIAS = (
    "Weights and leaks come from proved sessions alone. What could not be proved (declined, on order, no fault, a "
    "stop) may show itself otherwise.",
    "A proof shows that the complaint is gone. A second, mild fault that passes it is counted as absent, and a part "
    "changed for nothing beside the right one, as there.",
    "A curve's mild, moderate and severe move by one factor. Faults that are bad in other steps bend it, and so does a "
    "part that was proved and hadn't failed.",
    "Which findings were asked may depend only on what the record holds. Who sees something, says nothing and leaves a "
    "check out, bends the numbers.",
    "Where no part was proved, the share of a fault leans on the flow's own weights.",
    "Machines that came back under a new session are not known to be the same.",
)
"""What no count of sessions takes away, in plain words."""


@dataclass(frozen=True, slots=True)
class KindDeparture:
    """A number of which the sessions of one kind say otherwise than those of all kinds together: ``pooled``."""

    value: str
    estimate: Estimate
    pooled: float


@dataclass(frozen=True, slots=True)
class Learned:
    """What sessions say of a flow.

    ``proved`` and ``unproved``: how many closed sessions were learned from. ``held_out``: the score of the numbers that
    change, learned from the earlier sessions alone, on the later ones; None where there are too few. ``settled`` is
    False where the weights had not come to rest. ``occupancy``: what the sessions of each kind would have it.
    """

    estimates: tuple[Estimate, ...]
    proved: int
    unproved: int
    held_out: HeldOut | None
    settled: bool
    occupancy: Mapping[str, float]
    departures: tuple[KindDeparture, ...] = ()


def quiet(_says: str) -> None:
    """Say nothing."""


def learn(
    flow: Flow,
    observations: Sequence[Observation],
    trainer: Trainer | None = None,
    by: str = "",
    say: Say = quiet,
    processes: int = 1,
) -> Learned:
    """Return what these sessions say of a flow's numbers.

    Every one must be of a kind of machine that the flow has faults for (`known_kind`). ``trainer``: its numbers before
    anything was learned. ``by``: the fact whose values are looked at apart too, by default the kind of machine. ``say``
    is told what is being done. ``processes``: with two or more, many sessions are scored in one beside this.
    """
    observations = [current(flow, seen) for seen in observations]
    with _beside(processes if len(observations) > FEW else 1) as pool:
        scored = pool.submit(_held_out, flow, observations, trainer) if pool is not None else None
        say("curves, weights and shares of all sessions")
        estimates, settled, occupancy = _estimates(flow, observations, trainer)
        say("each kind apart")
        apart = _departures(flow, observations, estimates, by or flow.kind)
        say("numbers of the earlier sessions, scored on the later ones")
        held_out = scored.result() if scored is not None else _held_out(flow, observations, trainer)
    proved = sum(seen.faults is not None for seen in observations)
    return Learned(estimates, proved, len(observations) - proved, held_out, settled, occupancy, apart)


def _held_out(flow: Flow, observations: Sequence[Observation], trainer: Trainer | None) -> HeldOut | None:
    """The score on the later sessions of what the earlier ones alone would change; None where there are too few."""
    earlier, later = split(observations)
    if not earlier or not later:
        return None
    before, _, _ = _estimates(flow, earlier, trainer)
    return score(flow, changes(before), later)


@contextmanager
def _beside(processes: int) -> Iterator[ProcessPoolExecutor | None]:
    """A process beside this one, begun from nothing; None where there is to be one alone."""
    if processes < 2:
        yield None
        return
    with work_beside(1, SCORE_ENDED) as pool:
        yield pool


def known_kind(flow: Flow, seen: Observation) -> bool:
    """True where the flow has faults for the kind of machine of a session; an older version may have had others."""
    kind = seen.facts.get(flow.kind, "")
    return any(fault.share.get(kind) and not fault.alone for fault in flow.faults.values())


def current(flow: Flow, seen: Observation) -> Observation:
    """Return what a session says of the flow as it is now: without its label where that names a fault that the flow
    doesn't have, or not of that kind of machine.
    """
    faults, kind = seen.faults, seen.facts.get(flow.kind, "")
    if faults is None:
        return seen
    has = {fault.id for fault in flow.faults.values() if fault.share.get(kind)}
    return seen if has.issuperset((*faults.certain, *faults.doubtful)) else replace(seen, faults=None)


def changes(estimates: Iterable[Estimate]) -> dict[NumberId, float]:
    """The numbers that the sessions contradict, as they would be written. Of a kind's shares all, or none; of a curve's
    numbers all that enough sessions speak for, or none.
    """
    some = tuple(estimates)
    wholes = {e.id.whole for e in some if e.standing is NumberStanding.CHANGE} - {None}
    return {
        e.id: value
        for e in some
        if (e.standing is NumberStanding.CHANGE or (e.id.whole in wholes and not e.missing))
        and (value := written(e.id, e.new)) != e.old
    }


def _estimates(
    flow: Flow, observations: Sequence[Observation], trainer: Trainer | None
) -> tuple[tuple[Estimate, ...], bool, Mapping[str, float]]:
    """Curves first, since what a reading says goes by them; then weights, since a session without a proof is judged by
    them; then shares, and minutes.
    """
    curves = fit_curves(flow, observations, trainer)
    curved = with_numbers(flow, changes(curves.estimates))
    observations = regraded(curved, observations)
    weights = fit_weights(flow, observations, trainer)
    shares = fit_shares(with_numbers(curved, changes(weights.estimates)), observations, trainer)
    minutes = fit_minutes(flow, observations)
    every = (*weights.estimates, *shares.estimates, *minutes, *curves.estimates)
    return every, weights.settled and curves.settled, shares.occupancy


def _departures(
    flow: Flow, observations: Sequence[Observation], estimates: Iterable[Estimate], fact: str
) -> tuple[KindDeparture, ...]:
    """Weights and leaks of which one value's own sessions leave the pooled number out; a flow has one for all."""
    observations = regraded(with_numbers(flow, changes(estimates)), observations)
    pooled = {e.id: e.new for e in estimates if e.id.kind in (NumberKind.WEIGHT, NumberKind.LEAK)}
    values = sorted({seen.facts.get(fact, "") for seen in observations})
    if len(values) < 2:
        return ()
    found = []
    for value in values:
        own = [seen for seen in observations if seen.facts.get(fact, "") == value]
        for e in fit_weights(flow, own, pooled).estimates:
            known = replace(e, old=pooled[e.id])
            if known.standing is NumberStanding.CHANGE:
                found.append(KindDeparture(value, known, pooled[e.id]))
    return tuple(found)
