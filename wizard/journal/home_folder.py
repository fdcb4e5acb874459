"""The home folder: where sessions live, with the exact flows that they used.

::

    HOME/
      sessions/<id>/            a session: journal.toml, attachments/
      kept/<digest>/            the files of a flow as a session used them, kept once
      flows/                    the shop's own flows
      sheets/                   service sheets
      reports/                  reports of sessions, made anew from them at any time
      recordings/               CSV files of phones and loggers, to be chosen from
"""

from __future__ import annotations

import difflib
import os
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from wizard.errors import UsageError
from wizard.foreign.folder_entry import folder_at
from wizard.journal import session_name
from wizard.journal.content_store import digest as hash_files
from wizard.journal.content_store import keep_folder, kept_folder
from wizard.journal.durable_io import PRIVATE_FOLDER, lost, make_folder, sync_folder
from wizard.journal.session_name import EXAMPLE, is_session, name_order, new_name


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
    def reports(self) -> Path:
        """The reports of sessions; made with the first."""
        return self.root / "reports"

    @property
    def sheets(self) -> Path:
        """Service sheets."""
        return self.root / "sheets"

    def list_ids(self) -> tuple[str, ...]:
        """The ids of all sessions, newest first. No journal is read. JournalLost if the disk refuses."""
        try:
            with os.scandir(self.sessions) as entries:
                found = [entry.name for entry in entries if is_session(entry.name) and folder_at(entry)]
        except FileNotFoundError:
            return ()
        except OSError as error:
            raise lost("list the sessions in", self.sessions, error) from error
        return tuple(sorted(found, key=name_order, reverse=True))

    def new_session(self, today: date) -> str:
        """Take the next free id of a day and make its folder; two programs never get the same.

        JournalLost if the disk refuses.
        """
        try:
            self._refuse_link_out(self.sessions)
            make_folder(self.sessions)
            taken, mark = set(self.list_ids()), session_name.fresh_mark()
            while True:
                chosen = new_name(today, taken, mark)
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
            raise UsageError(
                f"{session!r} is no session. An id is a day, a letter and a mark, such as {EXAMPLE}."
            )
        return self.sessions / session

    def session_folder(self, session: str) -> Path:
        """The folder of a session. UsageError, with the nearest id, if there is none, or if anything in it is a link
        out of the home; JournalLost if the disk refuses.
        """
        folder = self.folder_for(session)
        if not folder.is_dir():
            near = difflib.get_close_matches(session, self.list_ids(), 1)
            hint = f"Did you mean {near[0]}?" if near else "Look at the list of sessions."
            raise UsageError(f"There is no session {session} in {self.sessions}. {hint}")
        self._refuse_link_out(folder)
        try:
            with os.scandir(folder) as entries:
                links = [folder / entry.name for entry in entries if entry.is_symlink()]
        except OSError as error:
            raise lost("look into", folder, error) from error
        for path in links:
            self._refuse_link_out(path)
        return folder

    def find(self, text: str) -> str:
        """The id of the session that a person names: by its id, or by the day and the letter where one alone has them.

        UsageError where several have them, or none: then what is said is that of ``session_folder``.
        """
        found = session_name.named(text, self.list_ids()) if is_session(text) else ()
        if len(found) > 1:
            raise UsageError(
                f"{text} is the name of several sessions: {', '.join(found)}. Name one of them whole."
            )
        return found[0] if found else text

    def _refuse_link_out(self, path: Path) -> None:
        """UsageError where a path of this home is, or lies behind, a link to what is not in it. The home may be one."""
        try:
            real, home = path.resolve(), self.root.resolve()
        except (OSError, RuntimeError) as error:
            raise UsageError(f"{path}: a link that leads round and round, or nowhere. Remove it.") from error
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
