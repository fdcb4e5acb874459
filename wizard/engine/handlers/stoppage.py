"""Stopping work, shared by every place that may: an answer, a fact, the stop key."""

from __future__ import annotations

from wizard.domain.vocabulary import RefusalReason
from wizard.engine.handlers.transaction import Transaction, clear_screen
from wizard.engine.messages.events import Stopped
from wizard.engine.queries.standing_stops import standing
from wizard.errors import Refused


def stop(d: Transaction, stop_id: str, words: str, entry: int = 0, fact: str = "") -> None:
    """Stop work: runs leave the screen, and what the stop latches stays so until it is released.

    ``entry``: the event of the answer that led to it, or of the ``fact``. What work was stopped for on an earlier
    visit, is graver and was never asked anew and answered well, stops it again first: its lines come first, whatever
    somebody said of it meanwhile, and a slip of a key takes back the lesser one alone.
    """
    reason = d.flow.stops.get(stop_id)
    if reason is None:
        raise Refused(RefusalReason.UNKNOWN, f"This flow has no reason to stop called {stop_id}.")
    clear_screen(d)
    for graver in _graver(d, stop_id):
        after = d.changes(d.model.put(d.belief, d.flow.stops[graver].so))
        d.emit(Stopped(stop=graver, words=STILL, standing=True, belief=after))
    after = d.changes(d.model.put(d.belief, reason.so))
    d.emit(Stopped(stop=stop_id, words=words.strip(), entry=entry, fact=fact, belief=after))


STILL = "Work was stopped for it on an earlier visit, and it was not asked anew and found well since."


def _graver(d: Transaction, stop_id: str) -> tuple[str, ...]:
    """The stops of earlier visits that stand and are graver than this one, each once; none that stopped this visit."""
    now, order = {h.stop for h in d.state.stops}, list(d.flow.stops)
    before = (h.stop for h in standing(d.view) if h.stop in d.flow.stops and h.stop not in now and not h.slip)
    return tuple(s for s in dict.fromkeys(before) if order.index(s) < order.index(stop_id))
