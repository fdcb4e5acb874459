"""What is asked of the archive, and what comes back: sessions by words and facts, the riskiest or the newest first."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, fields
from enum import StrEnum, unique
from typing import Any

from sqlalchemy import ColumnElement, RowMapping, Select, func, select

from wizard.archive.archive_tables import session, tag
from wizard.archive.full_text import FullText
from wizard.archive.session_facts import TO_READ, SignStanding, TagKind
from wizard.archive.trend_cell import TrendCell, cell_numbers
from wizard.errors import UsageError
from wizard.review.flags.flag_sorts import rules_of

_DAY = re.compile(r"\d{4}(-\d{2}(-\d{2})?)?")
SIGN_TO_READ = "to-read"
"""The value of the filter ``sign`` for all that waits for the reviewer."""

_LAST = "~"
"""Sorts behind every digit and dash: '2026-11~' is behind all days of that month."""


@unique
class ArchiveOrder(StrEnum):
    """Which sessions come first."""

    RISK = "risk"
    NEWEST = "newest"


@dataclass(frozen=True, slots=True)
class ArchiveFilter:
    """What a session must be; what is empty is not asked. Of text, a part of it does, in any case; of ids, outcome and
    sign-off the whole. ``machine``: maker or model. ``since``, ``until``: a day, a month or a year, both included.
    ``version``: the beginning of a flow's digest; ``plate``: one machine (``machine_plate.plate``);
    ``about``, ``gravity``: one flag of this kind and this gravity (``flag_sorts``); ``cell``: the sessions behind a row
    of a trend; ``among``: one of these sessions.
    """

    words: str = ""
    machine: str = ""
    serial: str = ""
    maker: str = ""
    kind: str = ""
    fault: str = ""
    part: str = ""
    technician: str = ""
    since: str = ""
    until: str = ""
    outcome: str = ""
    flag: str = ""
    about: str = ""
    gravity: str = ""
    sign: str = ""
    flow: str = ""
    version: str = ""
    plate: str = ""
    cell: TrendCell | None = None
    among: tuple[str, ...] = ()
    order: ArchiveOrder = ArchiveOrder.RISK

    @property
    def asked(self) -> tuple[tuple[str, str], ...]:
        """The filters that are set, by their names, in order; the order of rows is none."""
        names = (f.name for f in fields(self))
        values = ((name, getattr(self, name)) for name in names)
        return tuple(
            (
                name,
                value.says
                if isinstance(value, TrendCell)
                else ", ".join(value)
                if isinstance(value, tuple)
                else value,
            )
            for name, value in values
            if value and not isinstance(value, ArchiveOrder)
        )


@dataclass(frozen=True, slots=True)
class ArchiveRow:
    """A session in the archive, as it was when its files were read last. ``looked``: verified, and its flags found;
    ``ended``: the day of its last event; ``version``: of its flow; ``plate``: by what its machine is known again.
    """

    session: str
    day: str
    flow: str
    job_state: str
    outcome: str
    stands: str
    complaint: str
    maker: str
    model: str
    serial: str
    kind: str
    technician: str
    ticket: str
    faults: str
    minutes: float
    events: int
    standing: SignStanding
    signed_by: str
    trouble: str
    looked: bool
    wrong: str
    risk: int
    reasons: tuple[str, ...]
    flags: tuple[str, ...] = ()
    ended: str = ""
    version: str = ""
    plate: str = ""

    @property
    def verified(self) -> bool:
        """True where it was looked at and nothing was wrong with it."""
        return self.looked and not self.wrong and not self.trouble


@dataclass(frozen=True, slots=True)
class ArchivePage:
    """Some sessions, how many there are of the kind, and how many of all here were not looked at yet. ``more``: there
    are more than ``count``; nobody counted on.
    """

    rows: tuple[ArchiveRow, ...]
    count: int
    unappraised: int
    more: bool = False

    @property
    def counted(self) -> str:
        """'44' or 'over 1,000'."""
        return f"over {self.count:,}" if self.more else f"{self.count}"


_COLUMNS = tuple(session.c[f.name] for f in fields(ArchiveRow) if f.name in session.c)


def statement(asked: ArchiveFilter, text: FullText) -> Select[tuple[int]]:
    """The numbers of the sessions that are asked for, in no order. UsageError for a day that is none."""
    found = select(session.c.number)
    for condition in _conditions(asked, text):
        found = found.where(condition)
    return found


def in_order(asked: ArchiveFilter, text: FullText, most: int | None) -> Select[tuple[int]]:
    """The same, the first ones in the order that is asked for: at most so many, all where ``most`` is None."""
    newest = session.c.newest.desc()
    order = (newest,) if asked.order is ArchiveOrder.NEWEST else (session.c.risk.desc(), newest)
    return statement(asked, text).order_by(*order).limit(most)


def with_orders(asked: ArchiveFilter, text: FullText, most: int) -> Select[Any]:
    """At most so many of them in no order: the number of each, and what it is sorted by, the greater the earlier."""
    newest = asked.order is ArchiveOrder.NEWEST
    order = (session.c.newest,) if newest else (session.c.risk, session.c.newest)
    return statement(asked, text).add_columns(*order).limit(most)


def whole_rows(numbers: Sequence[int]) -> Select[tuple[object, ...]]:
    """The rows of some numbers, in no order."""
    return select(session.c.number, *_COLUMNS).where(session.c.number.in_(numbers))


def values_of(name: str) -> Select[tuple[str, int]]:
    """Every value that a filter can have, with how many sessions have it, most first. KeyError where there is none."""
    kind = _TAGGED.get(name)
    column = tag.c.value if kind else session.c[_COLUMN_NAMES.get(name, name)]
    found = select(column.label("value"), func.count().label("sessions")).where(column != "")
    if kind:
        found = found.where(tag.c.kind == kind.value)
    return found.group_by(column).order_by(func.count().desc(), column)


_COLUMN_NAMES = {"sign": "standing"}
_TAGGED = {
    "fault": TagKind.FAULT,
    "part": TagKind.PART,
    "technician": TagKind.PERSON,
    "flag": TagKind.FLAG,
}


def row_of(found: RowMapping, flags: tuple[str, ...]) -> ArchiveRow:
    """A row made of what the database gave. ValueError where a standing is unknown."""
    values = {column.name: found[column.name] for column in _COLUMNS}
    values["standing"] = SignStanding(values["standing"])
    values["looked"] = bool(values["looked"])
    values["reasons"] = tuple(filter(None, values["reasons"].split("\n")))
    return ArchiveRow(**values, flags=flags)


def _conditions(asked: ArchiveFilter, text: FullText) -> Iterator[ColumnElement[bool]]:
    """What looks at the row's own columns comes first, then what holds its number against others: the numbers of few
    before those of many, so that as few as can be are looked for.
    """
    yield from _values(asked)
    if asked.machine:
        yield text.holds(session.c.maker, asked.machine) | text.holds(session.c.model, asked.machine)
    for name in ("serial", "maker"):
        if wanted := getattr(asked, name):
            yield text.holds(session.c[name], wanted)
    if asked.cell is not None:
        yield text.number.in_(cell_numbers(asked.cell))
    for kind, wanted in (
        (TagKind.FAULT, asked.fault),
        (TagKind.PART, asked.part),
        (TagKind.FLAG, asked.flag),
    ):
        if wanted:
            yield _tagged(text, kind, tag.c.value == wanted)
    if asked.about or asked.gravity:
        rules = [rule.value for rule in rules_of(asked.about, asked.gravity)]
        yield _tagged(text, TagKind.FLAG, tag.c.value.in_(rules))
    if asked.technician:
        yield _tagged(text, TagKind.PERSON, tag.c.value.in_(_people(text, asked.technician)))
    if asked.words and (match := text.match(asked.words)) is not None:
        yield match


def _values(asked: ArchiveFilter) -> Iterator[ColumnElement[bool]]:
    if asked.flow:
        yield session.c.flow == asked.flow
    if asked.version:
        yield session.c.version.startswith(asked.version.lower(), autoescape=True)
    if asked.among:
        yield session.c.session.in_(asked.among)
    if asked.plate:
        yield session.c.plate == asked.plate
    if asked.kind:
        yield func.lower(session.c.kind) == asked.kind.lower()
    if asked.outcome:
        yield session.c.outcome == asked.outcome
    if asked.sign == SIGN_TO_READ:
        yield session.c.standing.in_([standing.value for standing in TO_READ])
    elif asked.sign:
        yield session.c.standing == asked.sign
    if asked.since:
        yield session.c.newest >= _day(asked.since)
    if asked.until:
        yield session.c.newest <= _day(asked.until) + _LAST


def _people(text: FullText, wanted: str) -> Select[tuple[str]]:
    """The names that a part of one is in. Each name is the next in the index behind the one before it: there are few
    people, and many sessions of each.
    """
    first = select(func.min(tag.c.value).label("value")).where(tag.c.kind == TagKind.PERSON.value)
    every = first.cte("people", recursive=True)
    behind = first.where(tag.c.value > every.c.value).correlate(every).scalar_subquery()
    every = every.union_all(select(behind).where(every.c.value.is_not(None)))
    return select(every.c.value).where(text.holds(every.c.value, wanted))


def _tagged(text: FullText, kind: TagKind, condition: ColumnElement[bool]) -> ColumnElement[bool]:
    return text.number.in_(select(tag.c.number).where(tag.c.kind == kind.value, condition))


def is_day(text: str) -> bool:
    """Whether a text is a day, a month or a year."""
    return bool(_DAY.fullmatch(text))


def _day(text: str) -> str:
    if not is_day(text):
        raise UsageError(f"{text!r} is no day. Write 2026-11-25, 2026-11 or 2026.")
    return text
