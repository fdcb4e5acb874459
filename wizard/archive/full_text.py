"""The words of sessions, found by the database's own full-text search: the SQL of each, written once.

A search is words that must all be there; each is taken from its beginning, so 'bear' finds bearings. Both databases
part words alike at what is neither letter nor digit, and take case out; neither knows a language.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Protocol

from sqlalchemy import ColumnElement, Connection, Integer, literal_column, text
from sqlalchemy.sql.elements import TextClause

from wizard.archive.archive_tables import session
from wizard.errors import UsageError

_WORD = re.compile(r"\w+")
MOST_WORDS = 20


class FullText(Protocol):
    """What a database does with words."""

    def create(self, connection: Connection) -> None:
        """Make what is needed, if it isn't there."""
        ...

    def drop(self, connection: Connection) -> None:
        """Take it away."""
        ...

    def put(self, connection: Connection, rows: list[dict[str, object]]) -> None:
        """Keep the words of sessions: ``number`` and ``words`` each; what was kept of these numbers is gone."""
        ...

    def remove(self, connection: Connection, numbers: list[int]) -> None:
        """Forget the words of sessions."""
        ...

    def match(self, words: str) -> ColumnElement[bool] | None:
        """The condition that all of some words are in a session's; None where there is no word among them."""
        ...

    @property
    def number(self) -> ColumnElement[int]:
        """A session's number as a condition names it that holds a page's sessions against some numbers."""
        ...

    @property
    def counts_apart(self) -> bool:
        """Whether a page is asked for alone, and counted by a question of its own."""
        ...

    def holds(self, column: ColumnElement[str], wanted: str) -> ColumnElement[bool]:
        """The condition that a text is in a column's, in capitals or small letters."""
        ...

    def take_stock(self, connection: Connection) -> None:
        """Have the database count what its tables hold."""
        ...


def _words(searched: str) -> list[str]:
    found = [word for word in _WORD.findall(searched.lower()) if word.strip("_")]
    if len(found) > MOST_WORDS:
        raise UsageError(f"These are {len(found)} words. Search for {MOST_WORDS} at most.")
    return found


def _in_numbers(number: ColumnElement[int], statement: TextClause) -> ColumnElement[bool]:
    return number.in_(statement.columns(session.c.number).subquery().select())


class SqliteText:
    """FTS5, a table that keeps its own text: nothing in it hangs on another table's rows."""

    number: ColumnElement[int] = literal_column("+session.number", Integer)
    """With a plus SQLite looks up no row by its number. It walks the rows in the order of the page, all that it needs
    in one index, and holds each against the numbers that were found: nothing is sorted, and it ends with the page.
    Without it every session with a common word is looked up, in a table that is five times as wide, and then sorted.
    """

    counts_apart = False
    """The walk that finds the page goes on and counts; another one would begin at its start."""

    def create(self, connection: Connection) -> None:
        """Make the table; what begins with one or two letters has lists of its own, or all words with it are merged."""
        connection.execute(
            text(
                "CREATE VIRTUAL TABLE IF NOT EXISTS session_words "
                "USING fts5(words, tokenize='unicode61', prefix='1 2')"
            )
        )

    def drop(self, connection: Connection) -> None:
        """Take it away."""
        connection.execute(text("DROP TABLE IF EXISTS session_words"))

    def put(self, connection: Connection, rows: list[dict[str, object]]) -> None:
        """Remove, then insert: FTS5 orphans what a REPLACE leaves."""
        connection.execute(text("DELETE FROM session_words WHERE rowid = :number"), rows)
        connection.execute(text("INSERT INTO session_words(rowid, words) VALUES (:number, :words)"), rows)

    def remove(self, connection: Connection, numbers: list[int]) -> None:
        """Forget them."""
        gone = [{"number": number} for number in numbers]
        if gone:
            connection.execute(text("DELETE FROM session_words WHERE rowid = :number"), gone)

    def match(self, words: str) -> ColumnElement[bool] | None:
        """Each word quoted, so that nothing in it is FTS5's own."""
        if not (found := _words(words)):
            return None
        wanted = " AND ".join(f'"{word}"*' for word in found)
        query = text("SELECT rowid AS number FROM session_words WHERE session_words MATCH :wanted")
        return _in_numbers(self.number, query.bindparams(wanted=wanted))

    def holds(self, column: ColumnElement[str], wanted: str) -> ColumnElement[bool]:
        """Its LIKE takes the letters a to z alike as it is; ``lower`` before it would take three times as long."""
        return column.contains(wanted, autoescape=True)

    def take_stock(self, connection: Connection) -> None:
        """A thousand entries of each index tell it enough."""
        connection.execute(text("PRAGMA analysis_limit=1000"))
        connection.execute(text("ANALYZE"))


class PostgresText:
    """A tsvector, in the configuration that knows no language. The words themselves are not kept: rows are narrow."""

    number: ColumnElement[int] = session.c.number
    """As it is: the planner chooses by what it counted."""

    counts_apart = True
    """The planner walks for a page, and counts by the words' own index: each the shorter way for its few rows."""

    def create(self, connection: Connection) -> None:
        """Make the table and its index."""
        connection.execute(
            text(
                "CREATE TABLE IF NOT EXISTS session_words (number integer PRIMARY KEY, found tsvector NOT NULL)"
            )
        )
        connection.execute(
            text("CREATE INDEX IF NOT EXISTS session_found ON session_words USING gin (found)")
        )

    def drop(self, connection: Connection) -> None:
        """Take it away."""
        connection.execute(text("DROP TABLE IF EXISTS session_words"))

    def put(self, connection: Connection, rows: list[dict[str, object]]) -> None:
        """Insert, or write over."""
        connection.execute(
            text(
                "INSERT INTO session_words(number, found) VALUES (:number, to_tsvector('simple', :words)) "
                "ON CONFLICT (number) DO UPDATE SET found = excluded.found"
            ),
            [{**row, "words": unmarked(str(row["words"]))} for row in rows],
        )

    def remove(self, connection: Connection, numbers: list[int]) -> None:
        """Forget them."""
        gone = [{"number": number} for number in numbers]
        if gone:
            connection.execute(text("DELETE FROM session_words WHERE number = :number"), gone)

    def match(self, words: str) -> ColumnElement[bool] | None:
        """Each word from its beginning; none holds what to_tsquery would read as its own."""
        if not (found := _words(words)):
            return None
        wanted = " & ".join(f"{unmarked(word)}:*" for word in found)
        query = text("SELECT number FROM session_words WHERE found @@ to_tsquery('simple', :wanted)")
        return _in_numbers(self.number, query.bindparams(wanted=wanted))

    def holds(self, column: ColumnElement[str], wanted: str) -> ColumnElement[bool]:
        """All letters alike, with a mark too."""
        return column.icontains(wanted, autoescape=True)

    def take_stock(self, connection: Connection) -> None:
        """The server does it itself in time, but not before the first search."""
        for name in ("session", "tag", "tally", "session_words"):
            connection.execute(text(f"ANALYZE {name}"))


def unmarked(text: str) -> str:
    """The text with each letter bare of its marks, as SQLite's unicode61 reads it: umlauts as their vowels."""
    apart = unicodedata.normalize("NFD", text)
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def full_text(dialect: str) -> FullText:
    """What a database does with words. UsageError for one that this program doesn't speak to."""
    if dialect == "sqlite":
        return SqliteText()
    if dialect == "postgresql":
        return PostgresText()
    raise UsageError(f"The archive can't be kept by {dialect}. Name a database of SQLite or PostgreSQL.")
