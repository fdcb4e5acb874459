"""The tables of the index, for any database that SQLAlchemy Core speaks to."""

from __future__ import annotations

from sqlalchemy import Column, Float, ForeignKey, Index, Integer, MetaData, String, Table, Text

FORMAT = "3"
"""What is kept, and how it is worked out: an index of another format is made anew."""

metadata = MetaData()

about = Table(
    "about", metadata, Column("name", String(20), primary_key=True), Column("value", Text, nullable=False)
)
"""The format, and the digest of the thresholds of flags that sessions were looked at with."""


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False, server_default="")


session = Table(
    "session",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("session", String(60), nullable=False, unique=True),
    Column("fingerprint", String(24), nullable=False),
    Column("day", String(10), nullable=False),
    *map(
        _text,
        ("at", "flow", "job_state", "outcome", "stands", "complaint", "maker", "model", "serial", "kind"),
    ),
    *map(_text, ("technician", "ticket", "faults")),
    Column("minutes", Float, nullable=False, server_default="0"),
    Column("events", Integer, nullable=False, server_default="0"),
    *map(_text, ("standing", "signed_by", "trouble")),
    Column("looked", Integer, nullable=False, server_default="0"),
    Column("wrong", Text, nullable=False, server_default=""),
    Column("risk", Integer, nullable=False, server_default="0"),
    Column("reasons", Text, nullable=False, server_default=""),
)
"""A row a session. ``fingerprint``: of its files when they were read; ``looked``: 1 once verified and flagged."""

tag = Table(
    "tag",
    metadata,
    Column("number", Integer, ForeignKey("session.number", ondelete="CASCADE"), nullable=False),
    Column("kind", String(10), nullable=False),
    Column("value", Text, nullable=False),
)
"""What a session has several of (``TagKind``)."""

Index("tag_of", tag.c.number)
Index("tag_value", tag.c.kind, tag.c.value)
Index("session_queue", session.c.risk, session.c.day, session.c.session)
Index("session_day", session.c.day)
Index("session_serial", session.c.serial)
Index("session_looked", session.c.looked)
