"""One row of a trend, and the statement of the sessions that it counts: what a figure opens down to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

from sqlalchemy import ColumnElement, Select, Subquery, case, func, select

from wizard.archive.archive_tables import named, session, tag, tally
from wizard.archive.session_facts import NOT_ENDED, TagKind
from wizard.archive.tally_kinds import TallyKind

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
_WHOLE = {
    TrendKind.RANKED: TallyKind.RANKED,
    TrendKind.NEAR: TallyKind.LIMITS,
    TrendKind.PROOF: TallyKind.PROOF,
}
_ANY = {TrendGroup.STEP: TallyKind.STEPS, TrendGroup.INSPECTION: TallyKind.INSPECTIONS}


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

    A session has several keys where it had several faults or parts. Where the rows are of things in the index's own
    list of names (``is_named``), the key is the number there: so a database groups what lies in order. Of callbacks
    only jobs that are over, at machines with a plate, and old enough to have come back within the days.
    """
    if cell.kind is TrendKind.BACK:
        return _keyed(_came_back(cell).subquery(), cell.group)
    columns = (tally.c.number, tally.c.hit, tally.c.amount, tally.c.own)
    if is_named(cell):
        kind = _TALLIES[cell.kind, cell.group]
        found = select(*columns, tally.c.name.label("key")).where(tally.c.kind == kind.value)
        return (found.where(tally.c.own > 0) if cell.kind is TrendKind.MINUTES else found).subquery()
    return _keyed(select(*columns).where(tally.c.kind == _WHOLE[cell.kind].value).subquery(), cell.group)


def is_named(cell: TrendCell) -> bool:
    """Whether the keys are numbers of names, not texts."""
    return (cell.kind, cell.group) in _TALLIES


def whole(cell: TrendCell) -> Select[tuple[int, int]]:
    """Every session that a trend counts, once: columns number and hit; a hit where any row of it has one."""
    if cell.kind is TrendKind.BACK:
        return _came_back(cell).with_only_columns(session.c.number, _hit(cell).label("hit"))
    kind = _ANY.get(cell.group) or _WHOLE[cell.kind]
    return select(tally.c.number, tally.c.hit).where(tally.c.kind == kind.value)


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


def _came_back(cell: TrendCell) -> Select[tuple[int, int, int, int]]:
    """Jobs that are over and old enough, at machines with a plate; a hit where a later one lies within the days.

    Later is what ``callbacks`` has after it: another day, or of one day the longer name, then the name.
    """
    zero = session.c.number * 0
    columns = (session.c.number, _hit(cell).label("hit"), zero.label("amount"), zero.label("own"))
    return select(*columns).where(
        *over(), session.c.plate != "", session.c.end_number <= cell.until - cell.within
    )


def _hit(cell: TrendCell) -> ColumnElement[int]:
    other = session.alias("other")
    length, its = func.length(session.c.session), func.length(other.c.session)
    same_day = (other.c.day_number == session.c.day_number) & (
        (its > length) | ((its == length) & (other.c.session > session.c.session))
    )
    later = (
        select(other.c.number)
        .where(
            other.c.plate == session.c.plate,
            other.c.day_number >= session.c.day_number,
            other.c.day_number <= session.c.end_number + cell.within,
            (other.c.day_number > session.c.day_number) | same_day,
        )
        .correlate(session)
        .exists()
    )
    return case((later, 1), else_=0)


def over() -> tuple[ColumnElement[bool], ...]:
    """What a job is that is over, on a day of the calendar."""
    return session.c.outcome.not_in(NOT_ENDED), session.c.day_number > 0


def cell_numbers(cell: TrendCell) -> Select[tuple[int]]:
    """The numbers of the sessions of a row."""
    if cell.key is None:
        every = whole(cell).subquery()
        return select(every.c.number).where(every.c.hit == 1) if cell.hits else select(every.c.number)
    found = counted(cell)
    key = select(named.c.id).where(named.c.name == cell.key).scalar_subquery() if is_named(cell) else cell.key
    numbers = select(found.c.number).where(found.c.key == key)
    return numbers.where(found.c.hit == 1) if cell.hits else numbers
