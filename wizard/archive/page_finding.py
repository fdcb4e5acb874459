"""A page of sessions found, and counted as far as anybody needs it."""

from __future__ import annotations

from collections.abc import Sequence

from sqlalchemy import Connection, RowMapping, func, select

from wizard.archive.archive_query import ArchiveFilter, ArchivePage, in_order, row_of, statement, whole_rows
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
    read = bound if end is None or not text.counts_apart else end
    found: list[int] = list(db.scalars(in_order(asked, text, None if read is None else read + 1)))
    count = len(found)
    if read is not None and bound is not None and read < bound and count > read:
        some = statement(asked, text).limit(bound + 1).subquery()
        count = db.scalar(select(func.count()).select_from(some)) or 0
    left = db.scalar(select(func.count()).select_from(session).where(session.c.looked == 0)) or 0
    numbers = found[after:end]
    kept, flags = _rows(db, numbers), flags_of(db, numbers)
    page = tuple(row_of(kept[number], flags.get(number, ())) for number in numbers)
    more = bound is not None and count > bound
    return ArchivePage(page, bound if more and bound is not None else count, left, more)


def _rows(db: Connection, numbers: Sequence[int]) -> dict[int, RowMapping]:
    """The whole rows of a page, by their numbers."""
    return {
        row["number"]: row
        for at in range(0, len(numbers), AT_ONCE)
        for row in db.execute(whole_rows(numbers[at : at + AT_ONCE])).mappings()
    }
