"""A trend: a row a month, fault, part, step and so on, each with how well it is known from so many sessions."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, Select, func, select

from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, statement
from wizard.archive.archive_tables import named, session
from wizard.archive.trend_cell import (
    GROUPS,
    WITHIN,
    TrendCell,
    TrendGroup,
    TrendKind,
    counted,
    is_named,
    over,
    whole,
)
from wizard.archive.trends.rate_interval import control_limits, wilson
from wizard.archive.trends.shrinkage import shrunk
from wizard.archive.trends.time_ratio import time_ratio
from wizard.errors import UsageError

TARGETS = {
    TrendKind.RANKED: 0.10,
    TrendKind.LEFT_OUT: 0.05,
    TrendKind.NEAR: 0.10,
    TrendKind.BACK: 0.05,
    TrendKind.PROOF: 0.05,
}
"""The share that each is held against where nobody names one; an estimate of what a shop would want."""

MOST_DAYS = 3650


@dataclass(frozen=True, slots=True)
class TrendAsked:
    """Which trend of which sessions. ``target``: the share that rows are held against, None for that of ``TARGETS``;
    ``today``: the day by its number, after which no session is believed to have been.
    """

    kind: TrendKind
    today: int
    group: TrendGroup | None = None
    within: int = WITHIN
    target: float | None = None
    among: ArchiveFilter = field(default_factory=ArchiveFilter)

    def __post_init__(self) -> None:
        """UsageError where the trend has no such rows, or a number is none that can be worked with."""
        if self.group is not None and self.group not in GROUPS[self.kind]:
            have = ", ".join(group.word for group in GROUPS[self.kind])
            raise UsageError(f"The trend '{self.kind}' has no rows by {self.group.word}. There are: {have}.")
        if self.target is not None and not 0.0 < self.target < 1.0:
            raise UsageError(
                f"A target of {self.target} can't be held against. Write one over 0 and under 1: 0.05."
            )
        if not 0 <= self.within <= MOST_DAYS:
            raise UsageError(f"{self.within} days can't be waited for. Write 0 to {MOST_DAYS}.")

    @property
    def rows_by(self) -> TrendGroup:
        """What has a row of its own."""
        return self.group or GROUPS[self.kind][0]

    @property
    def held(self) -> float:
        """The share that rows are held against; 0 where there is none."""
        return self.target if self.target is not None else TARGETS.get(self.kind, 0.0)


@dataclass(frozen=True, slots=True)
class TrendRow:
    """``hits`` of ``of`` sessions; ``value`` with its interval ``low`` to ``high`` (95 %): of minutes the share of the
    flow's own time, of all else the share of hits.

    ``drawn``: the share drawn to those of all rows; ``over``: how likely it is over the target. ``least`` and
    ``most``: the shares that chance gives a month, if all are alike; ``own``: minutes that the flow gives.
    """

    key: str
    hits: int
    of: int
    value: float
    low: float
    high: float
    drawn: float = 0.0
    over: float = 0.0
    least: float = 0.0
    most: float = 1.0
    own: float = 0.0

    @property
    def outside(self) -> bool:
        """Whether it lies beyond what chance gives."""
        return not self.least - 1e-9 <= self.value <= self.most + 1e-9


@dataclass(frozen=True, slots=True)
class ExpectedHits:
    """What the same faults give where nobody is asked for by name: ``expected`` of ``of``, beside the ``hits`` seen. A
    session counts once for each of its faults.
    """

    hits: int
    of: int
    expected: float


@dataclass(frozen=True, slots=True)
class TrendTable:
    """The rows, and all sessions of them together. ``until``: the last day of the archive by its number.

    Not counted: ``young`` jobs that had no time to come back, jobs at machines without a ``plateless`` number, and
    sessions that were not ``unlooked`` at yet or do not verify. ``same_faults``: where one person's sessions are
    asked for, since who gets the hard jobs has more hits.
    """

    asked: TrendAsked
    rows: tuple[TrendRow, ...]
    whole: TrendRow
    until: int
    young: int = 0
    plateless: int = 0
    unlooked: int = 0
    same_faults: ExpectedHits | None = None

    def cell(self, row: TrendRow | None, hits: bool) -> TrendCell:
        """The sessions behind a row, or behind all of them."""
        key = None if row is None or row is self.whole else row.key
        return TrendCell(self.asked.kind, self.asked.rows_by, key, hits, self.asked.within, self.until)


def trend_table(index: ArchiveIndex, asked: TrendAsked) -> TrendTable:
    """Compute a trend. UsageError for a day that is none; JournalError if the database refuses."""
    table = _computed(index, asked)
    if not asked.among.technician or TrendGroup.FAULT not in GROUPS[asked.kind]:
        return table
    theirs = _computed(index, replace(asked, group=TrendGroup.FAULT))
    others = replace(asked, group=TrendGroup.FAULT, among=replace(asked.among, technician=""))
    shares = {row.key: row.drawn for row in _computed(index, others).rows}
    expected = sum(row.of * shares.get(row.key, 0.0) for row in theirs.rows)
    hits, of = sum(row.hits for row in theirs.rows), sum(row.of for row in theirs.rows)
    return replace(table, same_faults=ExpectedHits(hits, of, expected))


def _computed(index: ArchiveIndex, asked: TrendAsked) -> TrendTable:
    with index.begin() as db:
        until = min(asked.today, db.scalar(select(func.max(session.c.day_number))) or 0)
        cell = TrendCell(asked.kind, asked.rows_by, within=asked.within, until=until)
        found, every = counted(cell), whole(cell).subquery() if asked.kind is not TrendKind.MINUTES else None
        sums = (
            (func.sum(found.c.amount), func.sum(found.c.amount * found.c.amount), func.max(found.c.own))
            if asked.kind is TrendKind.MINUTES
            else ()
        )
        some = select(found.c.key, func.count(), func.sum(found.c.hit), *sums).group_by(found.c.key)
        all_of = select(func.count(), func.sum(every.c.hit)) if every is not None else None
        if asked.among.asked:
            numbers = statement(asked.among, index.text)
            some = some.where(found.c.number.in_(numbers))
            if all_of is not None and every is not None:
                all_of = all_of.where(every.c.number.in_(numbers))
        rows = _rows(db, some, is_named(cell))
        of, hits = (int(n or 0) for n in db.execute(all_of).one()) if all_of is not None else (0, 0)
        made = TrendTable(asked, (), _rate("", hits, of), until, **_left_out(db, index, asked, until))
    if asked.kind is TrendKind.MINUTES:
        timed = [_timed(str(row[0]), *(int(n) for n in row[1:])) for row in rows]
        return replace(made, rows=tuple(sorted(timed, key=lambda row: (-_apart(row), -row.of, row.key))))
    return replace(made, rows=_rates([(str(r[0]), int(r[2]), int(r[1])) for r in rows], made))


def _rows(db: Connection, some: Select[Any], by_name: bool) -> list[tuple[str, ...]]:
    """The rows of a statement, by their keys in order; what is keyed by a number gets its name."""
    names = {row.id: row.name for row in db.execute(select(named.c.id, named.c.name))} if by_name else {}
    return sorted((str(names.get(row[0], row[0])), *row[1:]) for row in db.execute(some))


def _rates(counts: list[tuple[str, int, int]], made: TrendTable) -> tuple[TrendRow, ...]:
    """The rows of shares: months by time, each held against what chance gives; things by how likely their share is
    over the target, the likeliest first.
    """
    drawn = shrunk([(hits, of) for _key, hits, of in counts], made.asked.held)
    months = made.asked.rows_by is TrendGroup.MONTH
    rows = []
    for (key, hits, of), one in zip(counts, drawn, strict=True):
        row = replace(_rate(key, hits, of), drawn=one.mean, over=one.over)
        if months:
            fewest, most = control_limits(made.whole.value, of)
            row = replace(row, least=fewest / of, most=most / of)
        rows.append(row)
    return tuple(rows if months else sorted(rows, key=lambda row: (-row.over, -row.drawn, row.key)))


def _rate(key: str, hits: int, of: int) -> TrendRow:
    return TrendRow(key, hits, of, hits / of if of else 0.0, *wilson(hits, of))


def _timed(key: str, of: int, hits: int, total: int, squares: int, own: int) -> TrendRow:
    ratio = time_ratio(of, total, squares)
    return TrendRow(key, hits, of, ratio.middle, ratio.low, ratio.high, own=own / 60.0)


def _apart(row: TrendRow) -> float:
    """How far a step's interval lies from the flow's own time, as a logarithm; 0 where it holds it."""
    return max(
        0.0, math.log(row.low) if row.low > 0 else 0.0, -math.log(row.high) if row.high < math.inf else 0.0
    )


def _left_out(db: Connection, index: ArchiveIndex, asked: TrendAsked, until: int) -> dict[str, Any]:
    """What can't be counted of the sessions that are asked for."""
    some = select(func.count()).select_from(session)
    if asked.among.asked:
        some = some.where(session.c.number.in_(statement(asked.among, index.text)))
    if asked.kind is not TrendKind.BACK:
        bad = (session.c.looked == 0) | (session.c.wrong != "") | (session.c.trouble != "")
        return {"unlooked": db.scalar(some.where(bad)) or 0}
    of_those = some.where(*over())
    young = of_those.where(session.c.plate != "", session.c.end_number > until - asked.within)
    return {
        "young": db.scalar(young) or 0,
        "plateless": db.scalar(of_those.where(session.c.plate == "")) or 0,
    }
