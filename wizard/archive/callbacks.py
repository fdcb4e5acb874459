"""Machines that came back: the same serial number again, within so many days of the end of the job before."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import pairwise

from wizard.archive.archive_query import ArchiveRow
from wizard.archive.machine_plate import day_number, plate
from wizard.archive.session_facts import NOT_ENDED


@dataclass(frozen=True, slots=True)
class Callback:
    """A machine that came back: the job before, the one after it, and the days between them."""

    before: ArchiveRow
    after: ArchiveRow
    days: int


def callbacks(rows: Iterable[ArchiveRow], within: int) -> tuple[Callback, ...]:
    """Every job at a machine that had one within so many days before, the soonest back first.

    A machine is its maker and serial number, in any case and without what is neither letter nor digit; one whose serial
    number nobody noted is none. A job that was not closed has not ended, so nothing came back after it. Two jobs of one
    day are a callback of 0 days.
    """
    machines: dict[str, list[ArchiveRow]] = {}
    for row in rows:
        if key := plate(row.maker, row.serial):
            machines.setdefault(key, []).append(row)
    found = (one for visits in machines.values() for one in _came_back(visits, within))
    return tuple(sorted(found, key=lambda one: (one.days, one.after.session)))


def _came_back(visits: list[ArchiveRow], within: int) -> Iterator[Callback]:
    ordered = sorted(visits, key=lambda row: (row.day, len(row.session), row.session))
    for before, after in pairwise(ordered):
        days = _between(before.ended or before.day, after.day)
        if days is not None and days <= within and before.outcome not in NOT_ENDED:
            yield Callback(before, after, days)


def _between(before: str, after: str) -> int | None:
    """The days between two, 0 where the second job began before the first was over; None where one is no day of the
    calendar, as a folder may be called.
    """
    first, last = day_number(before), day_number(after)
    return max(0, last - first) if first and last else None
