"""The tables of the index, for any database that SQLAlchemy Core speaks to."""

from __future__ import annotations

from sqlalchemy import (
    BigInteger,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    SmallInteger,
    String,
    Table,
    Text,
    func,
)

FORMAT = "9"
"""What is kept, and how it is worked out: an index of another format is made anew."""

metadata = MetaData()

about = Table(
    "about", metadata, Column("name", String(20), primary_key=True), Column("value", Text, nullable=False)
)
"""The format, and the digest of the thresholds of flags that sessions were looked at with."""


def _text(name: str) -> Column[str]:
    return Column(name, Text, nullable=False, server_default="")


def _session(key: bool = False) -> Column[int]:
    """The session that a row is of, with which it is deleted. ``key``: it is a part of the row's own key."""
    of = ForeignKey("session.number", ondelete="CASCADE")
    return Column("number", Integer, of, nullable=False, primary_key=key, autoincrement=False)


_PLAIN = Text().with_variant(Text(collation="C"), "postgresql")
"""A text that is sorted byte by byte, wherever the database stands: SQLite does so anyhow."""


session = Table(
    "session",
    metadata,
    Column("number", Integer, primary_key=True),
    Column("session", String(60), nullable=False, unique=True),
    Column("fingerprint", String(24), nullable=False),
    Column("day", String(10), nullable=False),
    Column("newest", _PLAIN, nullable=False),
    Column("day_number", Integer, nullable=False, server_default="0"),
    Column("end_number", Integer, nullable=False, server_default="0"),
    *map(
        _text,
        ("at", "flow", "job_state", "outcome", "stands", "complaint", "maker", "model", "serial", "kind"),
    ),
    *map(_text, ("technician", "ticket", "faults", "version", "plate", "ended")),
    Column("minutes", Float, nullable=False, server_default="0"),
    Column("events", Integer, nullable=False, server_default="0"),
    *map(_text, ("standing", "signed_by", "trouble")),
    Column("looked", Integer, nullable=False, server_default="0"),
    Column("wrong", Text, nullable=False, server_default=""),
    Column("risk", Integer, nullable=False, server_default="0"),
    Column("reasons", Text, nullable=False, server_default=""),
    Column("digest", String(64), nullable=False, server_default=""),
    *map(_text, ("earlier", "earlier_seal")),
)
"""A row a session. ``fingerprint``: of its files when they were read; ``looked``: 1 once verified and flagged, and
``digest``: of all that its folder held then.
``newest``: what sessions are sorted by, the later the greater: day, length of the id, id (``newest_key``).
``ended``: the day of its last event. ``day_number``, ``end_number``: both counted from 1 January of year 1, 0 where
it is none; ``version``: of its flow, the beginning of
its digest; ``plate``: maker and serial number as ``machine_plate.plate`` has them, empty where nobody noted one.
``earlier``: the session that it names as begun before it on its computer, with the seal.
"""

tag = Table(
    "tag",
    metadata,
    _session(),
    Column("kind", String(10), nullable=False),
    Column("value", Text, nullable=False),
)
"""What a session has several of (``TagKind``)."""

named = Table(
    "named",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("name", Text, nullable=False, unique=True),
)
"""What tallies are of: a step, an inspection, a limit, a fault, a part, each by its id in the flow, once."""

tally = Table(
    "tally",
    metadata,
    Column("kind", SmallInteger, primary_key=True, autoincrement=False),
    Column("name", Integer, ForeignKey("named.id"), primary_key=True, autoincrement=False),
    _session(key=True),
    Column("hit", SmallInteger, nullable=False),
    Column("amount", Integer, nullable=False, server_default="0"),
    Column("own", Integer, nullable=False, server_default="0"),
    sqlite_with_rowid=False,
)
"""What a session says once of each thing that trends are of (``SessionTally``)."""

judged = Table(
    "judged",
    metadata,
    _session(),
    Column("rule", String(30), nullable=False),
    Column("event", Integer, nullable=False),
    Column("fair", Integer, nullable=False),
    Column("measure", Float),
)
"""What a reviewer said of a flag last. ``measure`` is empty where its rule holds nothing against a number."""

kept_file = Table(
    "kept_file",
    metadata,
    _session(),
    Column("digest", String(64), nullable=False),
    Column("photo", SmallInteger, nullable=False),
)
"""The photos (``photo`` 1) and recordings of a session, by their digests."""

reading_row = Table(
    "reading_row",
    metadata,
    _session(),
    Column("step", Text, nullable=False),
    Column("readings", Text, nullable=False),
    Column("mark", String(24), nullable=False),
    Column("count", Integer, nullable=False),
    Column("grain", Float, nullable=False),
    Column("noise", Float, nullable=False),
    Column("unit", Text, nullable=False),
)
"""The rows of readings of a session (``ReadingRow``)."""

stretch = Table(
    "stretch",
    metadata,
    _session(),
    Column("person", Text, nullable=False),
    Column("begin", BigInteger, nullable=False),
    Column("end", BigInteger, nullable=False),
)
"""When somebody was at work in a session (``WorkStretch``)."""

TRACES = (kept_file, reading_row, stretch)
"""What is kept of a session to be met again in others."""

Index("kept_file_digest", kept_file.c.digest)
Index("reading_row_mark", reading_row.c.mark)
Index("reading_row_step", reading_row.c.step, reading_row.c.number)
Index("stretch_begin", stretch.c.begin)
Index("session_earlier", session.c.earlier)
for _table in TRACES:
    Index(f"{_table.name}_of", _table.c.number)
Index("judged_of", judged.c.number)
Index("tally_of", tally.c.number)
Index("session_plate", session.c.plate, session.c.day_number)
Index("tag_of", tag.c.number, tag.c.kind, tag.c.value)
Index("tag_value", tag.c.kind, tag.c.value, tag.c.number)
Index("session_looked", session.c.looked)

_FILTERED = tuple(
    session.c[name]
    for name in ("outcome", "kind", "standing", "flow", "version", "plate", "serial", "maker", "model")
)
_ORDERS = {"session_queue": (session.c.risk, session.c.newest), "session_newest": (session.c.newest,)}
for _name, _order in _ORDERS.items():
    Index(_name, *_order, *_FILTERED).ddl_if(dialect="sqlite")
    Index(_name, *_order).ddl_if(dialect="postgresql")
Index("session_kind", func.lower(session.c.kind)).ddl_if(dialect="postgresql")
"""The two orders. SQLite walks one of them and finds all that is filtered by in it, without a look at the row, which is
five times as wide. PostgreSQL takes no entry of more than some 2,700 bytes, which a maker's name could have; how
many are of a kind it knows by an index of its own alone.
"""
