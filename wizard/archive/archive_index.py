"""The index: rows that are made from journals, in a database that can be thrown away."""

from __future__ import annotations

import contextlib
import errno
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, Engine, delete, select, update
from sqlalchemy.exc import ArgumentError, DatabaseError, NoSuchModuleError, SQLAlchemyError

from wizard.archive import archive_rows as rows
from wizard.archive.archive_engine import busy, engine_of
from wizard.archive.archive_query import ArchiveFilter, ArchivePage, values_of
from wizard.archive.archive_tables import FORMAT, about, metadata, session, tag, tally
from wizard.archive.full_text import FullText
from wizard.archive.page_finding import found_page
from wizard.archive.session_facts import SessionFacts, SessionTag, TagKind
from wizard.errors import JournalError, UsageError
from wizard.journal.durable_io import PRIVATE_FILE, lost, make_folder

if TYPE_CHECKING:
    from wizard.archive.session_appraisal import SessionAppraisal

NAME = "archive.db"
"""The file's name in the home folder, where no other database is named."""

BESIDE = ("", "-wal", "-shm", "-journal")
"""What SQLite puts behind a file's name for those beside it."""

_NOT_TO_BE_WRITTEN = (errno.EACCES, errno.EPERM, errno.EROFS)

AT_ONCE = 500
"""So many sessions are named in one statement."""


class ArchiveIndex:
    """An open index; a context manager that closes it. JournalError from any method: the database refused."""

    def __init__(self, engine: Engine, text: FullText, where: str, url: str = "") -> None:
        self._engine, self.text, self._where, self.url = engine, text, where, url

    @classmethod
    def open(cls, home: Path, url: str = "") -> ArchiveIndex:
        """Open the index of a home, or of a database's URL; it is made where it isn't there, or is of another format.

        A file in the home that is no index any more is thrown away: all in it comes of the journals. UsageError for a
        URL that is none; JournalLost if the disk refuses; JournalError if the database does.
        """
        path = home / NAME
        try:
            made = cls(*engine_of(url or f"sqlite:///{path}"), url.rpartition("@")[2] or str(path), url)
        except (ArgumentError, NoSuchModuleError, ImportError) as error:
            raise UsageError(
                f"The archive's database can't be used: {error}. Write postgresql+psycopg://user@host/name, and "
                "install the extra 'archive' for it."
            ) from None
        if url:
            made.clear(old_alone=True)
            return made
        try:
            make_folder(home)
            path.touch(PRIVATE_FILE)
            try:
                made.clear(old_alone=True)
            except JournalError as problem:
                if not isinstance(problem.__cause__, DatabaseError) or busy(problem.__cause__):
                    raise
                made.close()
                for end in BESIDE:
                    path.with_name(NAME + end).unlink(missing_ok=True)
                path.touch(PRIVATE_FILE)
                made.clear(old_alone=True)
        except OSError as error:
            if error.errno not in _NOT_TO_BE_WRITTEN:
                raise lost("keep the archive in", path, error) from error
            # A home that can only be read is searched all the same: its sessions are read each time.
            made = cls(*engine_of("sqlite://"), str(path))
            made.clear(old_alone=True)
        return made

    def close(self) -> None:
        """Let the database go."""
        self._engine.dispose()

    def __enter__(self) -> ArchiveIndex:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()

    def fingerprints(self) -> dict[str, str]:
        """The fingerprint of every session here, by its id."""
        with self.begin() as db:
            return {row[0]: row[1] for row in db.execute(select(session.c.session, session.c.fingerprint))}

    def put(self, found: Sequence[tuple[str, SessionFacts]], gone: Sequence[str] = ()) -> None:
        """Keep what is known of sessions, each with its fingerprint; what was looked at before is forgotten, and so are
        those that are ``gone``.
        """
        names = [facts.session for _fingerprint, facts in found]
        with self.begin() as db:
            rows.forget(db, self.text, [*names, *gone])
            if not found:
                return
            db.execute(session.insert(), [rows.values(fingerprint, facts) for fingerprint, facts in found])
            numbers = rows.numbers(db, names)
            rows.add_tags(
                db, [(numbers[facts.session], one) for _fingerprint, facts in found for one in facts.tags]
            )
            rows.add_judged(
                db, [(numbers[facts.session], one) for _fingerprint, facts in found for one in facts.judged]
            )
            rows.add_traces(db, [(numbers[facts.session], facts.traces) for _fingerprint, facts in found])
            self.text.put(db, [{"number": numbers[f.session], "words": f.words} for _fingerprint, f in found])

    def appraised(self, looks: Sequence[SessionAppraisal]) -> None:
        """Keep what a closer look found."""
        with self.begin() as db:
            numbers = rows.numbers(db, [look.session for look in looks])
            for look in looks:
                if look.session in numbers:
                    values = {
                        "looked": 1,
                        "wrong": look.wrong,
                        "risk": look.risk,
                        "reasons": "\n".join(look.reasons),
                        "digest": look.digest,
                    }
                    db.execute(
                        update(session).where(session.c.number == numbers[look.session]).values(**values)
                    )
            flagged = [
                (numbers[look.session], SessionTag(TagKind.FLAG, flag.value))
                for look in looks
                if look.session in numbers
                for flag in look.flags
            ]
            rows.add_tags(db, flagged)
            rows.add_tallies(
                db,
                [
                    (numbers[look.session], one)
                    for look in looks
                    if look.session in numbers
                    for one in look.tallies
                ],
            )

    def unappraised(self) -> tuple[str, ...]:
        """The sessions that were not looked at yet, the newest first."""
        newest = (session.c.day.desc(), session.c.session.desc())
        with self.begin() as db:
            return tuple(db.scalars(select(session.c.session).where(session.c.looked == 0).order_by(*newest)))

    @property
    def rules(self) -> str:
        """The rules by which sessions were looked at; empty where none was."""
        with self.begin() as db:
            return rows.noted(db, "rules")

    def look_anew(self, rules: str) -> None:
        """Have all looked at again where they were by other rules: ``rules`` names the version and the thresholds."""
        with self.begin() as db:
            if rows.noted(db, "rules") == rules:
                return
            db.execute(delete(tag).where(tag.c.kind == TagKind.FLAG.value))
            db.execute(delete(tally))
            db.execute(update(session).values(looked=0, risk=0, reasons="", wrong=""))
            rows.note(db, "rules", rules)

    def find(self, asked: ArchiveFilter, most: int | None = None, after: int = 0) -> ArchivePage:
        """A page, as ``page_finding.found_page`` has it; its errors."""
        with self.begin() as db:
            return found_page(db, self.text, asked, most, after)

    def values(self, name: str) -> tuple[tuple[str, int], ...]:
        """Every value that a filter can have here (``ArchiveFilter``), with how many sessions have it, most first."""
        with self.begin() as db:
            return tuple(
                (str(row.value), int(row.sessions)) for row in db.execute(values_of(name).limit(AT_ONCE))
            )

    def clear(self, old_alone: bool = False) -> None:
        """Empty it; ``old_alone``: only one that is of another format, or was not made yet."""
        with self.begin() as db:
            about.create(db, checkfirst=True)
            if not old_alone or rows.noted(db, "format") != FORMAT:
                self.text.drop(db)
                metadata.drop_all(db)
                metadata.create_all(db)
                self.text.create(db)
                rows.note(db, "format", FORMAT)
                rows.note(db, "stock", "0")

    @contextlib.contextmanager
    def begin(self) -> Iterator[Connection]:
        """A transaction for who asks more of the index than it answers itself."""
        try:
            with self._engine.begin() as db:
                yield db
        except SQLAlchemyError as error:
            cause = getattr(error, "orig", None) or error
            raise JournalError(
                f"{self._where}: the archive's index can't be used ({str(cause).splitlines()[0]}). No session is "
                "touched by it; it can be made anew: steadfoot archive rebuild."
            ) from error
