"""Lists over a replay: all events, the inspections, the flags, the notes. Each ends with the place to go to."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from wizard.documents.text import formatting
from wizard.domain.clock_times import clock_time
from wizard.domain.vocabulary import Phase, RunStatus
from wizard.review.durations import clock
from wizard.review.replay import Replay
from wizard.review.timeline import stays, timeline
from wizard.screens.layout.panel import Panel
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.reviewed_session import ReviewedSession
from wizard.screens.widgets.entry.picklist import PickList
from wizard.sessions.reviews.review_rows import Review, ReviewNote, SignOff
from wizard.sessions.reviews.review_text import response_line, signed_head


@dataclass(frozen=True, slots=True)
class ListEntry:
    """A row of a list, the place in the replay that it leads to, and what is said under the list when it is
    marked.
    """

    row: str
    place: int
    says: str = ""


class ListPanel(Panel[int]):
    """Rows to pick from; Enter goes to the place of the marked one. ``BELOW``: lines on it under the list."""

    HERE: ClassVar[tuple[str, ...]] = ("go", "cursor")
    BELOW: ClassVar[int] = 4
    ABOUT = ("A list", "Up and Down move the mark, Enter goes there, Esc goes back.")

    def __init__(self, title: str, entries: Sequence[ListEntry], start: int = 0) -> None:
        super().__init__()
        self._title, self._entries, self._first = title, entries, start

    def title_text(self) -> str:
        """What is listed."""
        return self._title

    def body(self) -> ComposeResult:
        """The rows, and a few lines on the marked one."""
        yield PickList(id="list")
        yield Static(id="more", markup=False)

    def on_mount(self) -> None:
        """Begin at the row of the place one came from."""
        super().on_mount()
        self._fill(max((n for n, e in enumerate(self._entries) if e.place <= self._first), default=0))
        self.query_one(PickList).focus()

    def on_resize(self) -> None:
        """Lay it out anew, the mark where it was."""
        if self.is_mounted:
            self._fill(self.query_one(PickList).index)

    def renew(self, entries: Sequence[ListEntry], at: int) -> None:
        """Show other rows, the mark on this one."""
        self._entries = entries
        self._fill(at)

    def _fill(self, at: int) -> None:
        room = max(20, self.app.size.width - 6)
        rows = [Content(e.row if len(e.row) <= room else f"{e.row[: room - 4]} ...") for e in self._entries]
        self.query_one(PickList).show(rows, at)
        self._tell(at)

    def _tell(self, index: int) -> None:
        says = self._entries[index].says if self._entries else "There are none."
        lines = textwrap.wrap(says, max(20, self.app.size.width - 4))
        self.query_one("#more", Static).update("\n".join(lines[: self.BELOW]))

    def on_pick_list_moved(self, event: PickList.Moved) -> None:
        """Say more of the marked row."""
        event.stop()
        self._tell(event.index)

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Go there."""
        event.stop()
        self.dismiss(self._entries[event.index].place)


def line_entries(replay: Replay) -> list[ListEntry]:
    """Every event: number, time, the first words of the badge after it, what it was."""
    found, rows = [], list(timeline(replay))
    times = row_times(replay, [row.at for row in rows])
    for place, (row, time) in enumerate(zip(rows, times, strict=True), 1):
        mark = "c" if row.change else "-" if row.aside else " "
        where = f"{row.where} " if row.where and row.where.step else ""
        says = f"{row.says} {where}".strip()
        if row.change:
            was, now = formatting.sentence(row.change.was), formatting.sentence(row.change.now)
            says = f"It was: {was} It is now: {now} {says}"
        elif row.aside:
            says = f"No longer counts in the end. {says}"
        badge = next(iter(row.safety), "")
        found.append(ListEntry(f"{row.seq:>4} {time} {badge:<13} {mark} {row.says}", place, says))
    return found


def row_times(replay: Replay, moments: Sequence[str]) -> list[str]:
    """The times of rows in the session's own zone, as wide as the widest: with the day of each that isn't that of the
    last visit.
    """
    visit = replay.end_view.state.visit
    began = visit.began if visit else ""
    times = [clock_time(at, began, replay.zone.zone, short=True) for at in moments]
    width = max(map(len, times), default=0)
    return [f"{time:>{width}}" for time in times]


def stay_entries(replay: Replay) -> list[ListEntry]:
    """Every inspection that was begun, with the time spent in it beside the usual one."""
    found, begun = [], list(stays(replay))
    for stay, time in zip(begun, row_times(replay, [stay.at for stay in begun]), strict=True):
        after = ", after the repair" if stay.phase is Phase.AFTER else ""
        spent = f"{clock(stay.seconds):>12} of {clock(stay.usual):<12}"
        row = f"{stay.first:>4} {time} {spent} {stay.title}{after}"
        says = f"{stay.title}{after}: events {stay.first} to {stay.last}. {_LEFT[stay.how]}"
        found.append(ListEntry(row, replay.place_of(stay.first), says))
    return found


_LEFT = {
    RunStatus.DONE: "Gone through.",
    RunStatus.LEFT: "Left in the middle.",
    RunStatus.VOID: "It no longer counts.",
    RunStatus.OPEN: "Still open.",
}


def remark_entries(replay: Replay, review: Review, chain: str) -> list[ListEntry]:
    """What reviewers wrote, oldest first, then the sign-offs; under each what was answered."""
    found = []
    for n in review.notes:
        found.append(ListEntry(f"{n.event:>4} {n.by}: {n.text}", replay.place_of(n.event), n.text))
        found += _answered(review, n, replay.place_of(n.event))
    for signed in review.signed:
        since = signed.since(chain, len(replay))
        words = f"{signed_head(signed)}, at {signed.events} events"
        says = f"{words}{f'; {since}' if since else ''}. {signed.words}"
        found.append(ListEntry(f"   - {says}", replay.place_of(signed.events), says))
        found += _answered(review, signed, replay.place_of(signed.events))
    return found


def _answered(review: Review, row: ReviewNote | SignOff, place: int) -> list[ListEntry]:
    lines = map(response_line, review.responses_to(row))
    return [ListEntry(f"       {line}", place, line) for line in lines]


def listing(key: ReplayKey, session: ReviewedSession) -> tuple[str, list[ListEntry]]:
    """The title and the rows of the list that a key opens."""
    replay = session.replay
    match key:
        case ReplayKey.LINE:
            return f"Time line, {replay.zone.words}", line_entries(replay)
        case ReplayKey.STAYS:
            return f"Inspections, {replay.zone.words}: time spent, of the usual", stay_entries(replay)
        case _:
            return "Notes and sign-offs", remark_entries(replay, session.review, session.chain)
