"""What ``steadfoot session replay`` writes where no screen is asked for: the time line, in lines or as a table."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from wizard.review import words
from wizard.review.flag import clock
from wizard.review.replay import Replay
from wizard.review.timeline import Row, stays, timeline

if TYPE_CHECKING:
    from wizard.engine.opened import Loaded


def lines_of(loaded: Loaded) -> Iterator[str]:
    """Every event on a line, what was put right under it; then the safety states and the time spent."""
    replay = Replay(loaded.flow, loaded.records)
    yield f"{loaded.name}  {loaded.flow.title}  (flow {loaded.flow.id} {loaded.flow.version})"
    for row in timeline(replay):
        yield from _event(row)
    yield "Safety states"
    for span in replay.spans:
        name = words.SAFETY.get(span.state, span.state)
        yield f"  events {span.first} to {span.last}  {name}, {clock(span.seconds)}"
    yield "Time spent"
    for stay in stays(replay):
        after = ", after the repair" if stay.phase == "after" else ""
        yield f"  {stay.title}{after}: {clock(stay.seconds)}; usually {clock(stay.usual)}"


def _event(row: Row) -> Iterator[str]:
    place = f"{row.inspection}.{row.step}" if row.step else row.inspection
    aside = "  (no longer counts)" if row.aside else ""
    head = f"{row.seq:>5}  {row.at[11:19]}  {clock(row.elapsed):>12}  {row.safety:<11}"
    yield f"{head}  {place}{'  ' if place else ''}{row.says}{aside}"
    if row.change:
        yield f"{'':>21}was: {row.change.was}; now: {row.change.now}"


def table_of(loaded: Loaded) -> dict[str, Any]:
    """The time line as plain dicts and lists."""
    replay = Replay(loaded.flow, loaded.records)
    return {
        "session": loaded.name,
        "events": [asdict(row) for row in timeline(replay)],
        "safety": [asdict(span) for span in replay.spans],
        "steps": [asdict(step) for step in replay.steps],
        "stays": [asdict(stay) for stay in stays(replay)],
        "changes": [asdict(change) for change in replay.changes],
    }
