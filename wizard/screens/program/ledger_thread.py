"""What waits for the shop's ledger put into it beside the screens: a share that hangs holds up no key and no end."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import CancelledError
from contextlib import suppress
from threading import Thread
from typing import TYPE_CHECKING, Any

from wizard.errors import SteadfootError

if TYPE_CHECKING:
    from textual.app import App

    from wizard.sessions.session_store import Store


NAME = "ledger"
"""The thread's name."""


def take_up_beside(app: App[Any], store: Store, text: Callable[[str], None]) -> Thread | None:
    """Begin it in a thread that the program doesn't wait for at its end; ``text`` is told what came of it, in the
    thread of the screens, where there is anything to be said. None where nothing waits.
    """
    if not store.ledger_folder.kept or not store.ledger_folder.waiting():
        return None

    def work() -> None:
        from wizard.sessions.ledger_keeping import take_up

        try:
            says = take_up(store).says
        except SteadfootError as problem:
            says = str(problem)
        if says and app.is_running:
            # Where the program ends at this very moment there is nobody to be told: what is left waits in its file.
            with suppress(RuntimeError, CancelledError):
                app.call_from_thread(text, says)

    made = Thread(target=work, name=NAME, daemon=True)
    made.start()
    return made
