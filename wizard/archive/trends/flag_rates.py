"""How often reviewers call the flags of a rule fair, and a stricter threshold where those that are not fair lie apart.

Only a stricter threshold can be proposed: nobody judges a flag that was never raised. Those that were judged are those
that somebody opened, so a rate is of them, and not of all that was raised.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import func, select

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_tables import judged, tag
from wizard.archive.session_facts import TagKind
from wizard.archive.trends.rate_interval import CONFIDENCE, wilson
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.flag_measures import HELD, HeldKey
from wizard.review.flags.thresholds import Thresholds

LEAST = 8
"""So many flags of a rule must have been judged, fair and not fair together, before a threshold is proposed."""


@dataclass(frozen=True, slots=True)
class ThresholdProposal:
    """A stricter threshold: ``kept`` flags that were called fair would be raised still, ``dropped`` that were not fair
    would not. ``lost``: the share of fair ones that it may drop at the most, with 95 %.
    """

    rule: FlagId
    key: str
    now: float
    proposed: float
    kept: int
    dropped: int
    lost: float


@dataclass(frozen=True, slots=True)
class FlagRate:
    """Of a rule: in how many sessions it is ``raised``, how many flags were ``judged``, how many of them ``fair``, the
    interval of that share (95 %, Wilson), and what is proposed or why nothing is.
    """

    rule: FlagId
    raised: int
    fair: int
    judged: int
    low: float
    high: float
    proposal: ThresholdProposal | None
    why: str


def flag_rates(index: ArchiveIndex, thresholds: Thresholds) -> tuple[FlagRate, ...]:
    """Every rule, in the order of ``FlagId``. JournalError if the database refuses."""
    with index.begin() as db:
        sessions = (
            select(tag.c.value, func.count()).where(tag.c.kind == TagKind.FLAG.value).group_by(tag.c.value)
        )
        raised = {row[0]: int(row[1]) for row in db.execute(sessions)}
        said: dict[str, list[tuple[bool, float | None]]] = {}
        for row in db.execute(select(judged.c.rule, judged.c.fair, judged.c.measure)):
            said.setdefault(row[0], []).append((bool(row[1]), None if row[2] is None else float(row[2])))
    return tuple(_rate(rule, raised.get(rule, 0), said.get(rule, []), thresholds) for rule in FlagId)


def _rate(
    rule: FlagId, raised: int, said: Sequence[tuple[bool, float | None]], thresholds: Thresholds
) -> FlagRate:
    fair = sum(one for one, _measure in said)
    found, why = propose(rule, said, thresholds)
    return FlagRate(rule, raised, fair, len(said), *wilson(fair, len(said)), found, why)


def propose(
    rule: FlagId, said: Sequence[tuple[bool, float | None]], thresholds: Thresholds
) -> tuple[ThresholdProposal | None, str]:
    """The threshold that still raises every flag called fair and drops as many others as can be; else why there is
    none.

    Half way between the last fair one and the first that isn't, so that it hangs on neither alone.
    """
    held = HELD.get(rule)
    if held is None:
        return None, "it has no number that is moved so"
    measured = [(fair, value) for fair, value in said if value is not None and math.isfinite(value)]
    now = thresholds.number(rule, held.key)
    # What a threshold of now would not raise any more was judged under another one, and says nothing of this.
    reached = [(fair, value) for fair, value in measured if _raises(held, now, value)]
    if len(reached) < LEAST:
        return None, f"{LEAST - len(reached)} more must be judged"
    good = [value for fair, value in reached if fair]
    if not good:
        return None, "none was fair: turn it off, or look at what it asks"
    last = min(good) if held.higher else max(good)
    beyond = [
        value for fair, value in reached if not fair and (value < last if held.higher else value > last)
    ]
    if not beyond:
        return None, "those that are not fair lie among the fair ones"
    first = max(beyond) if held.higher else min(beyond)
    proposed = _between(held, last, first)
    dropped = sum(not _raises(held, proposed, value) for value in beyond)
    if not dropped or any(not _raises(held, proposed, value) for value in good):
        return None, "those that are not fair lie too near the fair ones"
    lost = 1.0 - (1.0 - CONFIDENCE) ** (1.0 / len(good))
    return ThresholdProposal(rule, held.key, now, proposed, len(good), dropped, lost), ""


def _raises(held: HeldKey, threshold: float, value: float) -> bool:
    """Whether a flag with this measure is raised at this threshold, as its rule has it."""
    return value >= threshold if held.higher else value < threshold


def _between(held: HeldKey, last: float, first: float) -> float:
    """Half way, in few figures: still on the fair side of the first that isn't fair."""
    if held.whole:
        return math.ceil((last + first) / 2)
    middle = (last + first) / 2
    for figures in range(1, 16):
        rounded = float(f"{middle:.{figures}g}")
        if min(last, first) < rounded < max(last, first):
            return rounded
    return middle
