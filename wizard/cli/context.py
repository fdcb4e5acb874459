"""Where the program keeps things and what it works with: the home folder, the clock, the store, the flows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from wizard.foreign.file_reader import typed_path

if TYPE_CHECKING:
    from wizard.flow.loading.flow_loader import Known
    from wizard.flow.model import Flow
    from wizard.sessions.session_store import Store


@dataclass(frozen=True, slots=True)
class CommandContext:
    """What every command is given. Nothing is read or made before it is needed. ``ledger``: the folder that was named
    for the shop's ledger, None where it is the home's own.
    """

    home: Path
    ledger: Path | None = None

    @classmethod
    def of(cls, home: str | None, ledger: str | None = None) -> CommandContext:
        """The setting for a home folder; by default this user's data folder on this platform."""
        shop = typed_path(ledger) if ledger else None
        if home:
            return cls(typed_path(home), shop)
        from platformdirs import user_data_path

        return cls(user_data_path("steadfoot", appauthor=False), shop)

    def at(self, home: str) -> CommandContext:
        """The same with another home folder."""
        return replace(self, home=typed_path(home))

    @property
    def known(self) -> Known:
        """Which flows were checked already by this version of the program."""
        from wizard.cli.checked_flows import CheckedFlows

        return CheckedFlows(self.home)

    @property
    def store(self) -> Store:
        """The sessions of the home folder."""
        from wizard.platform.system_clock import SystemClock
        from wizard.sessions.session_store import Store

        return Store(self.home, SystemClock(), self.known, self.ledger)

    def find(self, session: str) -> str:
        """The id of the session that was named, whole or by day and letter. UsageError where that is not one."""
        return self.store.home.find(session)

    def flows(self) -> dict[str, Path]:
        """Every flow by name: those shipped, and the shop's own, which come before a shipped one of the same name."""
        from wizard.flow.loading.shipped_flows import shipped
        from wizard.flow.parsing.flow_files import MAIN

        own = self.home / "flows"
        found = sorted(f for f in own.iterdir() if (f / MAIN).is_file()) if own.is_dir() else []
        return {**shipped(), **{folder.name: folder for folder in found}}

    def folder_of(self, name: str) -> Path:
        """The folder of a flow, named or given as a path. UsageError, with the nearest name, if there is none."""
        from wizard.flow.loading.shipped_flows import folder_of

        return folder_of(name, self.flows())

    def load(self, folder: Path) -> Flow:
        """The flow in a folder, checked unless it is known to be sound. FlowError with every problem."""
        from wizard.flow.loading.flow_loader import load

        return load(folder, self.known)

    def screens(self, at_once: bool = False, resume: str = "", flow: str = "") -> int:
        """Run the full screen, ``at_once`` with a job, and return its exit code. TerminalError where there is none to
        draw on.
        """
        from wizard import screens

        return screens.run(self.store, self.flows, at_once, self._there(resume), self._known(flow))

    def lines(self, resume: str = "", flow: str = "") -> int:
        """Lead a job by lines, and return its exit code."""
        from wizard import lines

        return lines.run(self.store, self.flows, self._there(resume), self._known(flow))

    def _there(self, resume: str) -> str:
        """The whole name of a session to resume; empty for none. UsageError where there is none of that name."""
        name = self.store.home.find(resume) if resume else ""
        if name:
            self.store.home.session_folder(name)
        return name

    def _known(self, flow: str) -> str:
        """The name of a flow to begin on; empty for none. UsageError where there is none of that name."""
        if flow:
            self.folder_of(flow)
        return flow
