"""What a reviewer's words are about: the machine with its complaint and, of a note at an event, what that event was."""

from __future__ import annotations

from wizard.review.event_text import event_words
from wizard.review.guarded import attempt
from wizard.review.replay import Replay
from wizard.sessions.session_store import Store


def about(store: Store, session: str, event: int) -> tuple[str, ...]:
    """A session's flow and complaint in a line, and the event of that number in another; why not where it can't be
    read. ``event``: 0 for the session as a whole.
    """
    nothing: tuple[str, ...] = ()
    found, trouble = attempt(lambda: _about(store, session, event), nothing)
    return found or (trouble,)


def _about(store: Store, session: str, event: int) -> tuple[str, ...]:
    loaded = store.load(session)
    replay = Replay(loaded.flow, loaded.records)
    whole = f"{loaded.flow.title}. Complaint: {replay.end.complaint or '-'}"
    place = replay.place_of(event)
    if not place or replay.records[place - 1].seq != event:
        return (whole,)
    return (whole, f"Event {event}: {event_words(replay.view(place - 1), replay.records[place - 1].event)}")
