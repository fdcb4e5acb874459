"""Where the shop's ledger lies, and which closed jobs of this home are still to be put into it.

A job's seal waits in a file of the home from the moment it is closed until it stands in the ledger: a ledger on a share
that is away, or can't be written, holds nothing up.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from wizard.errors import SteadfootError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import SOURCE_LIMITS, Source, Unreadable
from wizard.journal.durable_io import make_folder, put
from wizard.journal.held_file import held
from wizard.journal.session_name import is_session
from wizard.trust.seal_ledger import NAME as LEDGER

NAME = "ledger-waiting.txt"
"""The file's name in the home folder: the id of a session a line."""


@dataclass(frozen=True, slots=True)
class LedgerFolder:
    """The ledger of a home. ``named``: the folder that somebody named for it, such as one on a share."""

    home: Path
    named: Path | None = None

    @property
    def path(self) -> Path:
        """The folder that the ledger lies in: the home, where no other is named."""
        return self.named or self.home

    @property
    def kept(self) -> bool:
        """Whether closed jobs go into a ledger: one is named, or was begun in the home."""
        return self.named is not None or (self.home / LEDGER).is_file()

    def waiting(self) -> tuple[str, ...]:
        """The sessions that wait, in the order in which they were closed; none where there is no such file.

        Where it can't be read nothing waits that this program knows of: ``ledger add --all`` finds what is missing.
        """
        limits = SOURCE_LIMITS[Source.WAITING]
        try:
            lines = read_file(self.home / NAME, Source.WAITING).decode("ascii", "replace").splitlines()
        except (OSError, Unreadable):
            return ()
        return tuple(dict.fromkeys(line for line in lines[: limits.values] if is_session(line)))

    def wait(self, session: str) -> str:
        """Have a session wait; gives what is to be said where that can't be written down, else nothing."""
        return self._change(lambda old: (*old, session), f"Add it by hand: steadfoot ledger add {session}.")

    def settled(self, names: Iterable[str]) -> str:
        """Have sessions wait no more; the same."""
        gone = frozenset(names)
        return self._change(lambda old: (name for name in old if name not in gone), "It is asked once more.")

    def _change(self, change: Callable[[tuple[str, ...]], Iterable[str]], hint: str) -> str:
        path = self.home / NAME
        try:
            make_folder(self.home)
            with held(path, "write what waits to"):
                names = dict.fromkeys(change(self.waiting()))
                put(path, "".join(f"{name}\n" for name in names).encode("ascii"))
        except SteadfootError as problem:
            return f"{problem} {hint}"
        except OSError as error:
            return f"{path}: it can't be written ({error.strerror or error}). {hint}"
        return ""
