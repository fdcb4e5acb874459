"""What stands in several sessions of the index: all kinds, one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sqlalchemy import Connection

from wizard.archive.across.chain_crossings import doubled, gone
from wizard.archive.across.crossing import MOST, Crossing, CrossingKind
from wizard.archive.across.file_crossings import files_repeated
from wizard.archive.across.overlaps import overlaps
from wizard.archive.across.reading_crossings import readings_repeated
from wizard.archive.archive_index import ArchiveIndex

Finding = Callable[[Connection], Iterable[Crossing]]

_FOUND: dict[CrossingKind, Finding] = {
    CrossingKind.GONE: gone,
    CrossingKind.DOUBLED: doubled,
    CrossingKind.PHOTO: lambda db: files_repeated(db, CrossingKind.PHOTO),
    CrossingKind.RECORDING: lambda db: files_repeated(db, CrossingKind.RECORDING),
    CrossingKind.READINGS: readings_repeated,
    CrossingKind.OVERLAP: overlaps,
}


def crossings(index: ArchiveIndex, kinds: Iterable[CrossingKind] = CrossingKind) -> tuple[Crossing, ...]:
    """What was met again, kind by kind, at most ``MOST`` of each. JournalError if the database refuses."""
    with index.begin() as db:
        return tuple(one for kind in kinds for one in list(_FOUND[kind](db))[:MOST])


def crossing_lines(found: tuple[Crossing, ...]) -> list[str]:
    """How many there are of each kind, and what that says and doesn't."""
    counts = {kind: sum(one.kind is kind for one in found) for kind in CrossingKind}
    words = [
        f"{count}{' or more' if count >= MOST else ''} {NAMES[kind]}"
        for kind, count in counts.items()
        if count
    ]
    return [f"Met again: {', '.join(words)}." if words else "Nothing was met again.", PROVES]


NAMES = {
    CrossingKind.GONE: "named and not here",
    CrossingKind.DOUBLED: "named twice",
    CrossingKind.PHOTO: "photos",
    CrossingKind.RECORDING: "recordings",
    CrossingKind.READINGS: "rows of readings",
    CrossingKind.OVERLAP: "overlaps",
}
"""Each kind in the plural."""

PROVES = "It asks for a second look and proves nothing: each may have a plain reason, which who was there can tell."
