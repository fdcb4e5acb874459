"""The home folder: where sessions live, with the exact flows that they used.

::

    HOME/
      sessions/2026-11-25-a/   a session: journal.toml, attachments/
      kept/<digest>/           the files of a flow as a session used them, kept once
      flows/                   the shop's own flows
      sheets/                  service sheets
      recordings/              CSV files of phones and loggers, to be chosen from
"""

from __future__ import annotations

import difflib
import os
import re
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from wizard.errors import UsageError
from wizard.journal.content_store import digest as hash_files
from wizard.journal.content_store import keep_folder, kept_folder
from wizard.journal.durable_io import PRIVATE_FOLDER, lost, make_folder, sync_folder

_ID = re.compile(r"(\d{4}-\d{2}-\d{2})-([a-z]{1,3})")


_WITHIN = ("journal.toml", "attachments", "review.toml")
"""What a session's folder holds that is read or written by name."""


@dataclass(frozen=True, slots=True)
class Home:
    """The folder that everything is kept in; nothing is made before it is needed.

    ``hashed`` gives the digest of the files of a flow: a mapping of name (forward slashes) to content.
    """

    root: Path
    hashed: Callable[[Mapping[str, bytes]], str] = hash_files

    @property
    def sessions(self) -> Path:
        """A folder for each session."""
        return self.root / "sessions"

    @property
    def kept(self) -> Path:
        """A folder for each flow that a session used, named by its digest."""
        return self.root / "kept"

    @property
    def flows(self) -> Path:
        """The shop's own flows, a folder each."""
        return self.root / "flows"

    @property
    def recordings(self) -> Path:
        """Recordings that phones and loggers wrote, to be chosen from; made by whoever copies them there."""
        return self.root / "recordings"

    @property
    def sheets(self) -> Path:
        """Service sheets."""
        return self.root / "sheets"

    def list_ids(self) -> tuple[str, ...]:
        """The ids of all sessions, newest first. No journal is read. JournalLost if the disk refuses."""
        try:
            with os.scandir(self.sessions) as entries:
                found = [entry.name for entry in entries if _ID.fullmatch(entry.name) and entry.is_dir()]
        except FileNotFoundError:
            return ()
        except OSError as error:
            raise lost("list the sessions in", self.sessions, error) from error
        return tuple(sorted(found, key=_order, reverse=True))

    def new_session(self, today: date) -> str:
        """Take the next free id of a day and make its folder; two programs never get the same.

        JournalLost if the disk refuses.
        """
        try:
            self._refuse_link_out(self.sessions)
            make_folder(self.sessions)
            taken = set(self.list_ids())
            while True:
                chosen = new_id(today, taken)
                try:
                    (self.sessions / chosen).mkdir(mode=PRIVATE_FOLDER)
                    (self.sessions / chosen).chmod(PRIVATE_FOLDER)
                except FileExistsError:
                    taken.add(chosen)
                    continue
                sync_folder(self.sessions)
                return chosen
        except OSError as error:
            raise lost("make a session in", self.sessions, error) from error

    def folder_for(self, session: str) -> Path:
        """The folder that a session of this id has or would have. UsageError if that can't be an id."""
        if not is_session(session):
            raise UsageError(f"{session!r} is no session. An id is a day and a letter, such as 2026-11-25-a.")
        return self.sessions / session

    def session_folder(self, session: str) -> Path:
        """The folder of a session. UsageError, with the nearest id, if there is none."""
        folder = self.folder_for(session)
        if not folder.is_dir():
            near = difflib.get_close_matches(session, self.list_ids(), 1)
            hint = f"Did you mean {near[0]}?" if near else "Look at the list of sessions."
            raise UsageError(f"There is no session {session} in {self.sessions}. {hint}")
        for path in (folder, *(folder / name for name in _WITHIN)):
            self._refuse_link_out(path)
        return folder

    def _refuse_link_out(self, path: Path) -> None:
        """UsageError where a path of this home is, or lies behind, a link to what is not in it. The home may be one."""
        real, home = path.resolve(), self.root.resolve()
        if real != home and home not in real.parents:
            raise UsageError(
                f"{path}: a link that leads out of it is not followed. Put the files themselves there."
            )

    def keep_files(self, digest: str, files: Mapping[str, bytes]) -> Path:
        """Keep the files of a flow once, durably, all or nothing; gives their folder.

        A folder that is there and was altered is set aside as ``<digest>-altered-<n>`` and written anew.
        ValueError if the files don't have that digest, or a name leads out of the folder; JournalLost if the
        disk refuses.
        """
        self._refuse_link_out(self.kept / Path(digest).name)
        if self.hashed(files) != digest:
            raise ValueError(f"digest: the files have another digest than {digest}")
        return keep_folder(self.kept, digest, files, self.hashed)

    def kept_files(self, digest: str) -> dict[str, bytes]:
        """The files of a kept flow. JournalError if it is not here or was altered since."""
        self._refuse_link_out(self.kept / Path(digest).name)
        return kept_folder(self.kept, digest, self.hashed)


def is_session(name: str) -> bool:
    """Whether a name can be that of a session."""
    return bool(_ID.fullmatch(name))


def new_id(today: date, taken: Collection[str]) -> str:
    """The first id of a day after all that are taken: letters run a to z, then aa to zz, then aaa to zzz."""
    day = f"{today.year:04}-{today.month:02}-{today.day:02}"
    last = max((_order(name)[1:] for name in taken if name.startswith(f"{day}-")), default=(0, ""))[1]
    letters = _after(last)
    if len(letters) > 3:
        raise UsageError(f"{day} has no free session id left. Look at the clock of this computer.")
    return f"{day}-{letters}"


def _order(session: str) -> tuple[str, int, str]:
    """A key that sorts ids by day, then a..z before aa."""
    day, _, letters = session.rpartition("-")
    return day, len(letters), letters


def _after(letters: str) -> str:
    """The letters that follow: '' a, a b, z aa, az ba, zz aaa."""
    kept = letters.rstrip("z")
    run = "a" * (len(letters) - len(kept))
    return kept[:-1] + chr(ord(kept[-1]) + 1) + run if kept else run + "a"
