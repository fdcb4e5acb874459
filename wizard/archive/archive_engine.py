"""The database of the archive: made from a URL, and set up as an index that can be thrown away wants it."""

from __future__ import annotations

from sqlalchemy import Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DatabaseError
from sqlalchemy.pool import StaticPool

from wizard.archive.full_text import FullText, full_text


def busy(error: DatabaseError) -> bool:
    """Whether a database refuses for a while, or for want of room, and is whole."""
    return "locked" in str(error) or "full" in str(error) or "readonly" in str(error)


def engine_of(url: str) -> tuple[Engine, FullText]:
    """The engine of a URL and what its database does with words. UsageError for a kind that isn't spoken to.

    SQLAlchemy's own errors for a URL that is none, and ImportError where its driver is not installed.
    """
    parts = make_url(url)
    text = full_text(parts.get_backend_name())
    # One that lives in memory is one connection, whichever thread asks.
    memory = parts.get_backend_name() == "sqlite" and not parts.database
    shared = {"poolclass": StaticPool, "connect_args": {"check_same_thread": False}} if memory else {}
    engine = create_engine(parts, **shared)
    if parts.get_backend_name() == "sqlite":
        event.listen(engine, "connect", _pragmas)
    elif parts.get_backend_name() == "postgresql":
        event.listen(engine, "connect", _planning)
    return engine, text


def _planning(connection: object, _record: object) -> None:
    """An index's pages lie in memory or on a disk without heads: one read out of turn costs hardly more than the next.
    The server's own guess is four times as much, by which it goes through all words instead of asking their index.
    """
    cursor = connection.cursor()  # type: ignore[attr-defined]
    cursor.execute("SET random_page_cost = 1.1")
    cursor.close()
    connection.commit()  # type: ignore[attr-defined]


def _pragmas(connection: object, _record: object) -> None:
    """Written ahead, so that who reads never waits; a power cut loses the last batch at most, which is made again."""
    cursor = connection.cursor()  # type: ignore[attr-defined]
    for pragma in ("journal_mode=WAL", "synchronous=NORMAL", "busy_timeout=10000", "cache_size=-16000"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()
