"""The job map as a numbered list: every part of the job, how it stands, and the way into it."""

from __future__ import annotations

from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as cmd
from wizard.engine.queries import next_queries
from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import EVERYWHERE, LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.shared_sentences import BY_FLOW, NONE_BEFORE_DONE, ONLY_INSPECTION
from wizard.screens.viewmodels.faults.advice_rows import Ahead, advised_line, ahead, order_line
from wizard.screens.viewmodels.job_map.map_rows import (
    FOLD,
    OMITTED,
    MapMark,
    MapRow,
    cursor,
    detail,
    folded,
    rows,
)
from wizard.screens.viewmodels.job_map.obligation_lines import standing_lines

WIDE, LONG = 9999, 99
"""Columns and lines of what is wrapped later."""


class MapLines(LineScene):
    """Every inspection with its number; Enter alone takes what comes next."""

    ABOUT = (
        "Every part of the job in its order, and how it stands; a dot lists them. Enter takes what comes next; a "
        "number any other part. What a part needs of the machine and isn't known is asked first. x and a number leaves "
        "a part out, and needs a reason. You may decide what the fault is at any time. g goes the other way, where the "
        "advice and the flow's order differ."
    )
    also = (*EVERYWHERE, LineWord.ADVICE, LineWord.EXPLAIN, LineWord.FOUND, LineWord.SHEET)

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._ahead: Ahead | None = None
        self._opened = False

    @property
    def own(self) -> Own:
        """Leaving out, deciding, the other way, what is not for this machine; no way to where one is."""
        return {
            LineWord.UNDO: self.take_back,
            LineWord.OMIT: self._omit,
            LineWord.DECIDE: self._decide,
            LineWord.FOLLOW: self._follow,
            LineWord.FOLD: self._fold,
            LineWord.AGAIN: self._list,
        }

    @property
    def ahead(self) -> Ahead:
        """What is advised for the state on hand."""
        if self._ahead is None or self._ahead.seq != self.controller.state.seq:
            self._ahead = ahead(self.controller.view)
        return self._ahead

    @property
    def rows(self) -> tuple[MapRow, ...]:
        """The rows in their order."""
        return folded(rows(self.controller.view, self.ahead.next), self._opened)

    @property
    def prompt(self) -> str:
        """The numbers, and what Enter takes."""
        shown = self.rows
        return f"Part, {span(len(shown))}, a dot lists them, Enter takes {cursor(shown) + 1}"

    def show(self) -> None:
        """The rows, what comes next and why, and what stands in the way."""
        view, shown = self.controller.view, self.rows
        left = sum(r.mark in (MapMark.UNBEGUN, MapMark.OPEN) and r.ready for r in rows(view))
        self.head(f"Job map, {view.flow.title}", f"{left} open")
        if self.host.list_map:
            for n, row in enumerate(shown, start=1):
                self.say(_row(row), f"{n}: ")
        self.host.list_map = False
        coming = shown[cursor(shown)]
        more = " ".join(detail(coming, WIDE, True)).removeprefix("Next.").strip()
        self.say(f"Next: {cursor(shown) + 1}, {_row(coming)}. {more}".rstrip())
        other = order_line(view.flow, self.ahead)
        after = (advised_line(self.ahead), f"g: {other}" if other else "", *standing_lines(view, WIDE, LONG))
        self.host.talk.rows(text for text in after if text)

    def take(self, text: str) -> None:
        """Open the part with this number; Enter alone what comes next."""
        shown = self.rows
        number = number_in(text, len(shown)) if text else cursor(shown) + 1
        if not number:
            self.say(f"There is no {echoed(text)} here: type {span(len(shown))}, or Enter alone.")
        else:
            self._open(shown[number - 1])

    def _open(self, row: MapRow) -> None:
        if row.target == FOLD:
            self._fold("")
        elif not row.ready:
            self.say(row.note or NONE_BEFORE_DONE)
        elif row.kind is NextKind.DECIDE:
            self._decide("")
        elif row.kind is NextKind.REPAIR:
            self.host.go(MapPlace(SceneKind.REPAIR, row.target))
        elif row.kind is NextKind.CLOSE:
            self.host.go(MapPlace(SceneKind.HANDOVER))
        elif row.kind is NextKind.RELEASE:
            ask_release(self.host, row.target)
        else:
            self.host.act(cmd.OpenInspection(row.target, row.step))

    def _omit(self, text: str) -> None:
        """Leave a row out, that with the number or the next: the engine asks for the reason."""
        shown = self.rows
        number = number_in(text, len(shown)) if text else cursor(shown) + 1
        row = shown[number - 1] if number else None
        if row is None or row.kind not in OMITTED or not row.ready:
            self.say(f"{ONLY_INSPECTION}: x and its number.")
            return
        again = row.kind is NextKind.RECHECK
        self.host.act(cmd.Skip(row.target, "", recheck=again, step=row.step if again else ""))

    def _decide(self, _text: str) -> None:
        if why := next_queries.undecidable(self.controller.view):
            self.say(why)
            return
        self.host.go(MapPlace(SceneKind.DECISION))

    def _follow(self, _text: str) -> None:
        """Go the other way: by the flow's own order, or where that leads, by the advice."""
        found = self.ahead
        way = found.other or found.next
        if not found.open:
            self.say(BY_FLOW)
        elif way.kind is NextKind.DECIDE:
            self._decide("")
        else:
            self.host.act(cmd.OpenInspection(way.target))

    def _fold(self, _text: str) -> None:
        """Show the parts that are not for this machine, or fold them again."""
        self._opened = not self._opened
        self._list("")

    def _list(self, _text: str) -> None:
        """List all the parts."""
        self.host.list_map = self.host.stale = True


def _row(row: MapRow) -> str:
    """'Bounce of the tub, open, 4 min, first 3 min for what it needs'."""
    first = f"first {row.way:.0f} min for what it needs" if row.steps and row.way >= 1 else ""
    minutes = f"{row.minutes:.0f} min" if row.minutes else ""
    note = row.note if row.mark is MapMark.ABSENT else "o lists them" if row.mark is MapMark.FOLDED else ""
    return ", ".join(x for x in (row.title, row.word, minutes, first, note) if x)
