"""The inspections open to the technician, and the advice about them, as plain data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from wizard.diagnosis.fault_ranking import FaultProbability
from wizard.diagnosis.next_inspection.mistake_costs import RepairCost

# An inspection is worth its minutes from this share of them saved: what it saves is figured from its information, and
# not exactly. On small networks 0.65 to 0.8 come nearest to the best policy (tests/diagnosis/test_small_optimum.py).
WORTH = 0.7
LOOK_ON = 0.3
"""While an outcome alone (nothing is wrong) leads and is not decided, an inspection is worth its minutes from this
share: to believe that wrongly costs a second visit with all still to be done. An estimate.
"""
FOUND = 0.9
"""A fault that was found on its own part is decided from here: what was seen or measured there stays so, whatever else
explains the complaint. From 0.8 on more would be decided, and more of it wrong (tests/bench/FIGURES.md).
"""


@dataclass(frozen=True, slots=True)
class InspectionCandidate:
    """An inspection open to the technician.

    ``says`` is its title. ``minutes`` of one person, ``people`` needed. ``gives`` maps each finding it can
    tell to the probability that it is obtained. ``way`` names what must be asked first, ``panels`` the
    panels it needs.
    """

    id: str
    says: str
    minutes: float
    gives: Mapping[str, float]
    way: str = ""
    panels: tuple[str, ...] = ()
    people: int = 1


@dataclass(frozen=True, slots=True)
class Access:
    """What it costs to get at things now, in minutes; what is missing costs nothing.

    ``ways``: a way in, by its name: what must be asked before the inspection, restoring included. ``panels``: to open
    and close a panel that isn't open. The way in is part of an inspection's minutes and can't be left out.
    """

    ways: Mapping[str, float] = field(default_factory=dict)
    panels: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Advice:
    """One inspection: its minutes in total, the minutes it is expected to save, and why.

    ``rate`` is minutes saved a minute, the way in shared among the inspections that it opens. ``about`` is the fault
    it tells most of. ``confirms``: that fault is decided already, so the inspection only confirms it. ``least``: the
    rate
    from which it is worth its minutes.
    """

    id: str
    minutes: float
    saves: float
    rate: float
    about: str
    confirms: bool
    why: str
    least: float = WORTH

    @property
    def worth(self) -> bool:
        """True if what it saves justifies its minutes."""
        return self.rate >= self.least


@dataclass(frozen=True, slots=True)
class Stake:
    """What rests on a decision: the ``leader``, what a mistake about it costs, and the best ``inspection`` left, if
    any.

    ``alone``: it is an outcome without a repair, such as that nothing is wrong.
    """

    leader: FaultProbability
    cost: RepairCost
    alone: bool
    inspection: Advice | None

    @property
    def lost(self) -> float:
        """Minutes lost if the leader is not there: a repair for nothing; of an outcome alone, what is missed."""
        return self.cost.missed if self.alone else self.cost.wrong


@dataclass(frozen=True, slots=True)
class Counsel:
    """All open inspections, best first, and whether enough is known: no open inspection is worth its minutes.

    ``decided`` are the faults at 0.93 or more once enough is known, of those found on their own part at 0.9 or more,
    likeliest first; before that, none. Where nothing is decided by then, ``tries`` are the likeliest repairs in the
    order that wastes fewest minutes.
    ``along`` are faults that are not decided, whose repair takes no part and fewer minutes, if it is for nothing, than
    leaving them is expected to cost: worth doing along with the rest. ``found_along`` are such as were found on their
    own part, by the work and the parts that they would cost for nothing.
    ``owed`` maps each fault at 0.9 or more that no inspection of its own has confirmed to those of its inspections that
    could; no part of it may be fitted before one of them is done. ``stake`` is what rests on the first of those
    decided.
    """

    inspections: tuple[Advice, ...]
    enough: bool
    says: str
    decided: tuple[str, ...]
    tries: tuple[str, ...]
    owed: Mapping[str, tuple[str, ...]]
    along: tuple[str, ...] = ()
    found_along: tuple[str, ...] = ()
    stake: Stake | None = None
