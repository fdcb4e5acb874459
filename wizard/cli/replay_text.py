"""What ``steadfoot session replay`` writes where no screen is asked for: the time line, in lines or as a table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from wizard.domain.clock_times import moment
from wizard.domain.vocabulary import Phase
from wizard.review.flags.flag import clock
from wizard.review.replay import Replay
from wizard.review.timeline import TimelineRow, stays, timeline
from wizard.sessions.damaged_session import damage_lines

if TYPE_CHECKING:
    from wizard.sessions.session_handle import Loaded


def lines_of(loaded: Loaded) -> Iterator[str]:
    """Every event on a line, what was corrected under it; then how the machine stood and the time spent."""
    replay = Replay(loaded.flow, loaded.records)
    yield f"{loaded.name}  {loaded.flow.title}  (flow {loaded.flow.id} {loaded.flow.version}), {replay.zone.words}"
    yield from damage_lines(loaded.damage)
    for row in timeline(replay):
        yield from _event(row, replay)
    yield "How the machine stood"
    for span in replay.spans:
        yield f"  events {span.first} to {span.last}  {badge_words(span.words)}, {clock(span.seconds)}"
    yield "Time spent"
    for stay in stays(replay):
        after = ", after the repair" if stay.phase is Phase.AFTER else ""
        yield f"  {stay.title}{after}: {clock(stay.seconds)}; usually {clock(stay.usual)}"


def badge_words(words: tuple[str, ...]) -> str:
    """'POWER HELD / TRIED': the words of a badge as one text."""
    return " / ".join(words) or "-"


def _event(row: TimelineRow, replay: Replay) -> Iterator[str]:
    place = str(row.where or "")
    aside = "  (no longer counts)" if row.aside else ""
    at = moment(row.at, replay.zone.zone)
    time = f"{at:%H:%M:%S}" if at else "--:--:--"
    head = f"{row.seq:>5}  {time}  {clock(row.elapsed):>12}  {badge_words(row.safety):<32}"
    yield f"{head}  {place}{'  ' if place else ''}{row.says}{aside}"
    if row.change:
        yield f"{'':>21}was: {row.change.was}; now: {row.change.now}"


def table_of(loaded: Loaded) -> dict[str, Any]:
    """The time line as plain dicts and lists."""
    replay = Replay(loaded.flow, loaded.records)
    return {
        "session": loaded.name,
        "damage": list(loaded.damage),
        "events": [row.as_table() for row in timeline(replay)],
        "safety": [asdict(span) for span in replay.spans],
        "steps": [asdict(step) for step in replay.steps],
        "stays": [asdict(stay) for stay in stays(replay)],
        "changes": [change.as_table() for change in replay.changes],
    }
