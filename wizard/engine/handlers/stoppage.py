"""Stopping work, shared by every place that may: an answer, a fact, the stop key."""

from __future__ import annotations

from wizard.domain.vocabulary import RefusalReason
from wizard.engine.handlers.transaction import Transaction, clear_screen
from wizard.engine.messages.events import Stopped
from wizard.errors import Refused


def stop(d: Transaction, stop_id: str, words: str, entry: int = 0, fact: str = "") -> None:
    """Stop work: runs leave the screen, and what the stop latches stays so until it is released.

    ``entry``: the event of the answer that led to it, or of the ``fact``.
    """
    reason = d.flow.stops.get(stop_id)
    if reason is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow has no reason to stop called {stop_id}.")
    clear_screen(d)
    after = d.changes(d.model.put(d.belief, reason.so))
    d.emit(Stopped(stop=stop_id, words=words.strip(), entry=entry, fact=fact, belief=after))
