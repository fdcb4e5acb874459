"""What a person sees: Textual screens that project the state of the engine and decide nothing."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.archive_query import ArchiveFilter
    from wizard.archive.trends.trend_table import TrendAsked
    from wizard.sessions.session_store import Store

__all__ = ["run", "run_archive", "run_desk", "run_replay", "run_trends"]


def run(
    store: Store,
    flows: Callable[[], Mapping[str, Path]],
    at_once: bool = False,
    resume: str = "",
    flow: str = "",
) -> int:
    """Run the program in the terminal and return its exit code.

    ``flows`` gives the folders that a job can be begun on, and is called late. ``at_once``: not the list of
    sessions but a job comes first: ``resume`` names one to take up, else a new one begins, on ``flow`` where it is
    named. TerminalError when there is no terminal to draw on.
    """
    _need_terminal()
    from wizard.screens.launch.app import SteadfootApp

    app = SteadfootApp(store, flows, resume=resume, flow=flow, at_once=at_once)
    return app.run_to_end()


def run_replay(store: Store, session: str, event: int = 0) -> int:
    """Go through a session again in the terminal and return the exit code; ``event`` is where it opens.

    SteadfootError when the session, or the shop's own thresholds of flags, can't be read; TerminalError when there is
    no terminal to draw on.
    """
    _need_terminal()
    from wizard.screens.replay.replay_app import ReplayApp

    app = ReplayApp(store, session, event)
    return app.run_to_end()


def run_archive(store: Store, index: ArchiveIndex, asked: ArchiveFilter) -> int:
    """Look through all sessions in the terminal and return the exit code; ``asked`` is what the list begins with.

    TerminalError when there is no terminal to draw on.
    """
    _need_terminal()
    from wizard.archive.archive_query import ArchiveFilter
    from wizard.screens.archive.archive_app import ArchiveApp

    app = ArchiveApp(store, index, None if asked == ArchiveFilter() else asked)
    return app.run_to_end()


def run_trends(store: Store, index: ArchiveIndex, asked: TrendAsked) -> int:
    """Look at trends in the terminal and return the exit code; ``asked`` is the one that comes first.

    TerminalError when there is no terminal to draw on.
    """
    _need_terminal()
    from wizard.screens.archive.archive_app import ArchiveApp

    return ArchiveApp(store, index, trend=asked).run_to_end()


def run_desk(store: Store, folder: Path, unapprovable: str = "") -> int:
    """Open the desk on the flow of a folder and return the exit code. ``store`` is of a home for what is tried;
    ``unapprovable``: why nobody approves this flow here.

    TerminalError when there is no terminal to draw on.
    """
    _need_terminal()
    from wizard.screens.desk.desk_app import DeskApp

    return DeskApp(store, folder, unapprovable).run_to_end()


def _need_terminal() -> None:
    """Raise TerminalError where keys can't be read or nothing can be drawn; let odd characters through as '?'."""
    from wizard.errors import TerminalError

    out = sys.__stdout__ if sys.platform == "win32" else sys.__stderr__
    for stream, name in ((sys.__stdin__, "input"), (out, "output")):
        if stream is None or not stream.isatty():
            raise TerminalError(
                f"There is no terminal: the {name} is a file or a pipe. Run steadfoot in a terminal window, without "
                "redirecting it. For scripts there are: steadfoot case, session, flow."
            )
    reconfigure = getattr(out, "reconfigure", None)
    if reconfigure is not None:
        reconfigure(errors="replace")
