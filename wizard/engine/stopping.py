"""Stopping work, shared by every place that may: an answer, a fact, the stop key."""

from __future__ import annotations

from wizard.engine.draft import Draft, change_safety, clear_screen
from wizard.engine.events import Stopped
from wizard.errors import Refused


def stop(d: Draft, stop_id: str, words: str) -> None:
    """Stop work: runs leave the screen, bars are set, no safety state stands."""
    reason = d.flow.stops.get(stop_id)
    if reason is None:
        raise Refused("unknown", f"This flow has no reason to stop called {stop_id}.")
    clear_screen(d)
    d.emit(Stopped(stop=stop_id, words=words.strip(), bar=reason.bar))
    if d.state.safety != "stopped":
        change_safety(d, "stopped", "stop")
