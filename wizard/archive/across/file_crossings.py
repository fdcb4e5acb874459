"""The same photo or recording, byte by byte, in sessions of different machines."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection, func, select

from wizard.archive.across.crossing import MOST, SHOWN, Crossing, CrossingKind
from wizard.archive.across.machine_names import machine_names
from wizard.archive.archive_tables import kept_file, session


def files_repeated(db: Connection, kind: CrossingKind) -> Iterator[Crossing]:
    """Those that lie in several sessions, but for those of one machine. ``kind``: photo or recording."""
    of, photo = kept_file.c.digest, int(kind is CrossingKind.PHOTO)
    asked = (
        select(of, func.count(kept_file.c.number.distinct()).label("count"))
        .join(session, session.c.number == kept_file.c.number)
        .where(kept_file.c.photo == photo)
        .group_by(of)
        .having(func.count(kept_file.c.number.distinct()) > 1)
        .having((func.count(session.c.plate.distinct()) > 1) | (func.min(session.c.plate) == ""))
        .order_by(func.count(kept_file.c.number.distinct()).desc(), of)
        .limit(MOST)
    )
    for digest, count in db.execute(asked).all():
        which = select(kept_file.c.number).where(of == digest, kept_file.c.photo == photo)
        machines = machine_names(db, which)
        yield Crossing(
            kind,
            tuple(machines)[:SHOWN],
            count,
            f"The same {kind} lies in {count} sessions.",
            f"{'; '.join(f'{name}: {says}' for name, says in machines.items())}. SHA-256 {digest[:16]}, byte by byte.",
        )
