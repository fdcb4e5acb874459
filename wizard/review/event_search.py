"""Events found by words: what was done, typed, corrected and noted, and where."""

from __future__ import annotations

from wizard.review import event_text
from wizard.review.replay import Replay
from wizard.review.timeline import timeline


def events_with(replay: Replay, words: str) -> tuple[int, ...]:
    """The places whose line has all of these words, or parts of words, in any case and order; none for no words."""
    wanted = words.casefold().split()
    if not wanted:
        return ()
    found = []
    for place, row in enumerate(timeline(replay), 1):
        change = (row.change.was, row.change.now, row.change.reason) if row.change else ()
        typed = event_text.typed(replay.records[place - 1].event)
        title = replay.flow.title_of(row.where.inspection) if row.where else ""
        text = " ".join((row.says, typed, str(row.where or ""), title, row.verdict or "", *change)).casefold()
        if all(word in text for word in wanted):
            found.append(place)
    return tuple(found)
