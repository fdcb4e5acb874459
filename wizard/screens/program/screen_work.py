"""Work of a screen in threads: what came of it is handed over in the screen's own thread, and no work ends the job."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any, cast

from textual.screen import Screen
from textual.worker import Worker, get_current_worker

from wizard.errors import SteadfootError
from wizard.platform import crash_log

if TYPE_CHECKING:
    from wizard.screens.program.base_app import BaseApp


class ScreenWork:
    """The base of what works for a screen. ``said`` gets a sentence on what went wrong."""

    def __init__(self, screen: Screen[Any], said: Callable[[str], None]) -> None:
        self._screen, self._said = screen, said

    def begin(self, group: str, work: Callable[[Worker[Any]], None]) -> None:
        """Begin a work in the place of another of its group, which should look whether it is cancelled."""
        app = cast("BaseApp", self._screen.app)

        def run() -> None:
            worker = get_current_worker()
            try:
                work(worker)
            except (SteadfootError, OSError) as problem:
                self.hand(worker, self._said, str(problem))
            except Exception as error:
                self.hand(worker, self._said, crash_log.survived(app.store.root, error))

        self._screen.run_worker(run, thread=True, exclusive=True, group=group)

    def hand(self, worker: Worker[Any], call: Callable[..., Any], *what: Any) -> None:
        """Call something in the screen's thread, unless another work took this one's place."""
        if not worker.is_cancelled:
            self._screen.app.call_from_thread(call, *what)
