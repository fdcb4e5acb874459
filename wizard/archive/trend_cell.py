"""One row of a trend, and the statement of the sessions that it counts: what a figure opens down to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from sqlalchemy import ColumnElement, Select, Subquery, case, func, select

from wizard.archive.archive_tables import named, session, tag, tally
from wizard.archive.session_facts import UNDER_WAY, TagKind
from wizard.archive.session_tally import TallyKind

WITHIN = 30
"""Days within which a machine that comes back is a callback, where nobody asks for others."""


@unique
class TrendKind(StrEnum):
    """What is followed over the sessions."""

    RANKED = "ranked"
    MINUTES = "minutes"
    LEFT_OUT = "left-out"
    NEAR = "near"
    BACK = "back"
    PROOF = "proof"


@unique
class TrendGroup(StrEnum):
    """What has a row of its own. Never a person."""

    MONTH = "month"
    FAULT = "fault"
    PART = "part"
    MACHINE = "machine-kind"
    FLOW = "flow"
    STEP = "step"
    INSPECTION = "inspection"
    LIMIT = "limit"

    @property
    def word(self) -> str:
        """How it is asked for: the kind of machine by the word that filters have for it."""
        return "kind" if self is TrendGroup.MACHINE else self.value

    @classmethod
    def of(cls, word: str) -> TrendGroup:
        """The group that is asked for by a word. ValueError where there is none."""
        return next((group for group in cls if group.word == word), None) or cls(word)


GROUPS: dict[TrendKind, tuple[TrendGroup, ...]] = {
    TrendKind.RANKED: (TrendGroup.FAULT, TrendGroup.MONTH, TrendGroup.MACHINE, TrendGroup.FLOW),
    TrendKind.MINUTES: (TrendGroup.STEP,),
    TrendKind.LEFT_OUT: (TrendGroup.STEP, TrendGroup.INSPECTION),
    TrendKind.NEAR: (TrendGroup.LIMIT,),
    TrendKind.BACK: (
        TrendGroup.MONTH,
        TrendGroup.FAULT,
        TrendGroup.PART,
        TrendGroup.MACHINE,
        TrendGroup.FLOW,
    ),
    TrendKind.PROOF: (
        TrendGroup.FAULT,
        TrendGroup.PART,
        TrendGroup.MONTH,
        TrendGroup.MACHINE,
        TrendGroup.FLOW,
    ),
}
"""By what each can be parted; the first where nobody asks for another."""

_TALLIES = {
    (TrendKind.RANKED, TrendGroup.FAULT): TallyKind.RANKED,
    (TrendKind.MINUTES, TrendGroup.STEP): TallyKind.STEP,
    (TrendKind.LEFT_OUT, TrendGroup.STEP): TallyKind.STEP,
    (TrendKind.LEFT_OUT, TrendGroup.INSPECTION): TallyKind.INSPECTION,
    (TrendKind.NEAR, TrendGroup.LIMIT): TallyKind.LIMIT,
    (TrendKind.PROOF, TrendGroup.FAULT): TallyKind.PROOF_FAULT,
    (TrendKind.PROOF, TrendGroup.PART): TallyKind.PROOF_PART,
}
_WHOLE = {TrendKind.RANKED: TallyKind.RANKED, TrendKind.PROOF: TallyKind.PROOF}


@dataclass(frozen=True, slots=True)
class TrendCell:
    """The sessions behind a row. ``key``: what the row is of, None for all; ``hits``: only those that came back, were
    left out, failed and so on. ``until``: the last day of the archive, by its number, up to which a machine can have
    come back. ``says``: it in words.
    """

    kind: TrendKind
    group: TrendGroup
    key: str | None = None
    hits: bool = False
    within: int = WITHIN
    until: int = 0
    says: str = ""


def counted(cell: TrendCell) -> Subquery:
    """Every session that a trend counts, with its row's ``key``: columns number, key, hit, amount, own.

    A session has several keys where it had several faults or parts. Of callbacks only jobs that are over, at machines
    with a plate, and old enough to have come back within the days.
    """
    if cell.kind is TrendKind.BACK:
        base = _came_back(cell).subquery()
        return _keyed(base, cell.group)
    kind = _TALLIES.get((cell.kind, cell.group))
    if kind is not None:
        found = (
            select(tally.c.number, named.c.name.label("key"), tally.c.hit, tally.c.amount, tally.c.own)
            .join(named, named.c.id == tally.c.name)
            .where(tally.c.kind == kind.value)
        )
        return (found.where(tally.c.own > 0) if cell.kind is TrendKind.MINUTES else found).subquery()
    whole = select(tally.c.number, tally.c.hit, tally.c.amount, tally.c.own).where(
        tally.c.kind == _WHOLE[cell.kind].value
    )
    return _keyed(whole.subquery(), cell.group)


def _keyed(base: Subquery, group: TrendGroup) -> Subquery:
    """The same with the key of each row's group beside it."""
    columns = (base.c.number, base.c.hit, base.c.amount, base.c.own)
    if group in (TrendGroup.FAULT, TrendGroup.PART):
        kind = TagKind.FAULT if group is TrendGroup.FAULT else TagKind.PART
        tagged = (tag.c.number == base.c.number) & (tag.c.kind == kind.value)
        return select(*columns, tag.c.value.label("key")).join(tag, tagged).subquery()
    key = _KEYS[group].label("key")
    return select(*columns, key).join(session, session.c.number == base.c.number).subquery()


_KEYS: dict[TrendGroup, ColumnElement[str]] = {
    TrendGroup.MONTH: func.substr(session.c.day, 1, 7),
    TrendGroup.MACHINE: session.c.kind,
    TrendGroup.FLOW: session.c.flow + " " + session.c.version,
}


def followed() -> Subquery:
    """Every job at a machine with a plate, with the day on which that machine was seen next, None where it wasn't.

    Columns number, end_number, outcome, next_number. The order is that of ``callbacks``.
    """
    order = (session.c.day_number, func.length(session.c.session), session.c.session)
    later = func.lead(session.c.day_number).over(partition_by=session.c.plate, order_by=order)
    columns = (session.c.number, session.c.end_number, session.c.outcome, later.label("next_number"))
    return select(*columns).where(session.c.plate != "", session.c.day_number > 0).subquery()


def _came_back(cell: TrendCell) -> Select[tuple[int, int, int, int]]:
    jobs = followed()
    hit = case((jobs.c.next_number - jobs.c.end_number <= cell.within, 1), else_=0)
    zero = jobs.c.number * 0
    return select(jobs.c.number, hit.label("hit"), zero.label("amount"), zero.label("own")).where(
        jobs.c.outcome != UNDER_WAY, jobs.c.end_number <= cell.until - cell.within
    )


def cell_numbers(cell: TrendCell) -> Select[tuple[int]]:
    """The numbers of the sessions of a row."""
    found = counted(cell)
    numbers = select(found.c.number)
    if cell.key is not None:
        numbers = numbers.where(found.c.key == cell.key)
    return numbers.where(found.c.hit == 1) if cell.hits else numbers
