"""Rows of readings that are the same to the last figure in sessions of different machines, more of them than chance."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import Connection, Row, Select, func, select

from wizard.archive.across.crossing import MOST, SHOWN, Crossing, CrossingKind
from wizard.archive.across.machine_names import machine_names
from wizard.archive.archive_tables import reading_row, session
from wizard.archive.traces.session_traces import ReadingRow
from wizard.measure.quantities import units
from wizard.measure.uncertainty.alike_readings import pairs, row_agreeing

RARE = 0.05
"""Rows are shown where fewer such pairs than this are to be expected among all rows of these steps."""

KNOWN = 2_000
"""From so many rows of a step, the newest, its spread is taken."""


def readings_repeated(db: Connection) -> Iterator[Crossing]:
    """The rarest first. Rows that the same sessions share are one crossing: their chances are multiplied."""
    shared: dict[tuple[str, ...], list[ReadingRow]] = {}
    counts: dict[tuple[str, ...], int] = {}
    for found in db.execute(_repeated()).all():
        names, same = _sessions(db, found)
        shared.setdefault(names, []).append(same)
        counts[names] = found.sessions

    @cache
    def of_step(step: str) -> tuple[tuple[tuple[float, ...], ...], int]:
        return _known(db, step)

    rare = []
    for names, rows in shared.items():
        chance, most = 1.0, 0
        for same in rows:
            known, all_rows = of_step(same.step)
            chance *= row_agreeing(known, same.noise, same.grain, same.count)
            most = max(most, all_rows)
        expected = chance * pairs(max(most, 2))
        if expected < RARE:
            rare.append((expected, names, rows, most))
    for expected, names, rows, most in sorted(rare, key=lambda one: (one[0], one[1])):
        yield _crossing(db, names, counts[names], rows, expected, most)


def _repeated() -> Select[Any]:
    """Rows that several sessions of different machines have, those of few sessions first."""
    row = reading_row.c
    sessions = func.count(row.number.distinct())
    return (
        select(
            func.max(row.step).label("step"), func.max(row.readings).label("readings"), row.mark,
            func.max(row.count).label("length"), func.max(row.grain).label("grain"),
            func.min(row.noise).label("noise"), func.max(row.unit).label("unit"), sessions.label("sessions"),
        )
        .join(session, session.c.number == row.number)
        .group_by(row.mark)
        .having(sessions > 1)
        .having((func.count(session.c.plate.distinct()) > 1) | (func.min(session.c.plate) == ""))
        .order_by(sessions, row.mark)
        .limit(5 * MOST)
    )  # fmt: skip


def _sessions(db: Connection, found: Row[Any]) -> tuple[tuple[str, ...], ReadingRow]:
    """The earliest sessions that have a row, and the row."""
    same = ReadingRow(
        found.step, found.readings, found.mark, found.length, found.grain, found.noise, found.unit
    )
    which = select(reading_row.c.number).where(reading_row.c.mark == same.mark)
    return tuple(machine_names(db, which)), same


def _known(db: Connection, step: str) -> tuple[tuple[tuple[float, ...], ...], int]:
    """The newest rows of a step as numbers, and how many there are."""
    of = reading_row.c.step == step
    count = db.scalar(select(func.count()).select_from(reading_row).where(of)) or 0
    asked = select(reading_row.c.readings).where(of).order_by(reading_row.c.number.desc()).limit(KNOWN)
    return tuple(_numbers(text) for text in db.scalars(asked)), count


def _numbers(text: str) -> tuple[float, ...]:
    return tuple(map(float, text.split()))


def _crossing(
    db: Connection,
    names: tuple[str, ...],
    count: int,
    rows: Sequence[ReadingRow],
    expected: float,
    most: int,
) -> Crossing:
    numbers = select(session.c.number).where(session.c.session.in_(names))
    machines: Mapping[str, str] = machine_names(db, numbers)
    told = "; ".join(
        f"{same.step}: {', '.join(_shown(value, same.unit) for value in _numbers(same.readings))}"
        for same in rows[:4]
    )
    more = f" and {len(rows) - 4} more rows" if len(rows) > 4 else ""
    what = "A row of readings is" if len(rows) == 1 else f"{len(rows)} rows of readings are"
    return Crossing(
        CrossingKind.READINGS,
        names[:SHOWN],
        count,
        f"{what} the same to the last figure in {count} sessions.",
        f"{told}{more}. {'; '.join(f'{name}: {says}' for name, says in machines.items())}. By how such readings are "
        f"spread and what the tool shows, {_rate(expected)} such pairs are to be expected among {most} by chance.",
    )


def _shown(value: float, unit: str) -> str:
    """A reading in its unit; as it is kept where no unit or scale shows it: a journal from elsewhere may hold any."""
    try:
        return units.text(value, unit)
    except (ValueError, OverflowError):
        return f"{value:g}"


def _rate(expected: float) -> str:
    return f"{expected:.2f}" if expected >= 0.005 else "fewer than 0.01"
