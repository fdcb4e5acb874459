"""The archive from home, and a job that was closed put into it: both in threads, for it takes a while to come."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from wizard.errors import SteadfootError
from wizard.screens.launch.opening import into_archive

if TYPE_CHECKING:
    from textual.app import App

    from wizard.screens.launch.job_app import JobApp
    from wizard.sessions.session_store import Store


def open_archive(app: JobApp) -> None:
    """Lay the archive over home."""
    app.say("Opening ...")

    def work() -> None:
        from wizard.archive.archive_index import ArchiveIndex
        from wizard.screens.archive.archive_screen import ArchiveScreen

        try:
            index = ArchiveIndex.open(app.store.root)
        except SteadfootError as problem:
            app.call_from_thread(app.say, str(problem))
            return

        def closed(_answer: object) -> None:
            index.close()
            app.say("")

        def show() -> None:
            app.say("")
            app.push_screen(ArchiveScreen(app.store, index), closed)

        app.call_from_thread(show)

    app.run_worker(work, thread=True, exclusive=True, group="archive")


def archive_closed(app: App[int], store: Store, session: str, text: Callable[[str], None]) -> None:
    """Bring the index up for one job that was closed. The job is not touched by what goes wrong, which
    is ``said``; whoever opens the archive next brings it up.
    """

    def work() -> None:
        try:
            into_archive(store, session)
        except SteadfootError as problem:
            app.call_from_thread(text, str(problem))

    app.run_worker(work, thread=True, group="archive-closed")
