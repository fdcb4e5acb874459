"""The machines of some sessions in words."""

from __future__ import annotations

from sqlalchemy import Connection, Select, select

from wizard.archive.across.crossing import SHOWN
from wizard.archive.archive_tables import session


def machine_names(db: Connection, numbers: Select[tuple[int]]) -> dict[str, str]:
    """By session, the earliest first and at most ``SHOWN``, its machine: maker and serial, or that nobody noted one."""
    asked = select(session.c.session, session.c.maker, session.c.serial).where(session.c.number.in_(numbers))
    return {
        name: " ".join(filter(None, (maker, serial))) if serial else "no serial number noted"
        for name, maker, serial in db.execute(asked.order_by(session.c.newest).limit(SHOWN))
    }
