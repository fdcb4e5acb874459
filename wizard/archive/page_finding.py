"""A page of sessions found, and counted as far as anybody needs it."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, func, select

from wizard.archive.archive_query import ArchiveFilter, ArchivePage, in_order, row_of, whole_rows, with_orders
from wizard.archive.archive_rows import AT_ONCE, flags_of
from wizard.archive.archive_tables import session
from wizard.archive.full_text import FullText

COUNTED = 1_000
"""Up to so many sessions of a search are counted; of more it is said that there are more."""


def found_page(
    db: Connection, text: FullText, asked: ArchiveFilter, most: int | None, after: int
) -> ArchivePage:
    """The sessions that are asked for, at most so many after so many, or all where ``most`` is None; and how many there
    are, counted up to ``COUNTED`` or to the end of the page, all where all are asked for. UsageError for a day that is
    none, or many words.
    """
    end = None if most is None else after + most
    bound = None if end is None else max(COUNTED, end)
    found, count = _numbers(db, text, asked, end, bound)
    left = db.scalar(select(func.count()).select_from(session).where(session.c.looked == 0)) or 0
    numbers = found[after:end]
    kept, flags = _rows(db, numbers), flags_of(db, numbers)
    page = tuple(row_of(kept[number], flags.get(number, ())) for number in numbers)
    more = bound is not None and count > bound
    return ArchivePage(page, bound if more and bound is not None else count, left, more)


def _numbers(
    db: Connection, text: FullText, asked: ArchiveFilter, end: int | None, bound: int | None
) -> tuple[list[int], int]:
    """The first sessions in order, to the page's end at least, and how many there are, counted to one beyond ``bound``.

    Where they are counted apart that comes first: of few each is there with it, and is sorted here; of more than are
    counted so many are among all that the walk of the order soon has its page.
    """
    if end is None or bound is None or not text.counts_apart:
        found: list[int] = list(db.scalars(in_order(asked, text, None if bound is None else bound + 1)))
        return found, len(found)
    rows = db.execute(with_orders(asked, text, bound + 1)).all()
    if len(rows) > bound:
        return list(db.scalars(in_order(asked, text, end))), len(rows)
    rows = sorted(rows, key=lambda row: tuple(row[1:]), reverse=True)
    return [row[0] for row in rows[:end]], len(rows)


def _rows(db: Connection, numbers: Sequence[int]) -> dict[int, RowMapping]:
    """The whole rows of a page, by their numbers."""
    return {
        row["number"]: row
        for at in range(0, len(numbers), AT_ONCE)
        for row in db.execute(whole_rows(numbers[at : at + AT_ONCE])).mappings()
    }
