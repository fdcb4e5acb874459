"""The job map: every part of the job, how it stands, and the way into it. Nothing is open while it is shown."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.domain.vocabulary import Lead, NextKind
from wizard.engine.messages import commands as cmd
from wizard.engine.state import queries
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.text.charset import plain, sign
from wizard.screens.text.clipping import cut
from wizard.screens.text.verdict_signs import STYLES
from wizard.screens.viewmodels.advice_rows import searching
from wizard.screens.viewmodels.map_rows import MapRow, cursor, detail, rows
from wizard.screens.viewmodels.obligation_lines import standing_lines
from wizard.screens.widgets.advice_line import AdviceLine
from wizard.screens.widgets.picklist import PickList

OMITTED = (NextKind.INSPECT, NextKind.RECHECK, NextKind.LEAVE, NextKind.HANDOVER)
"""The kinds of row that may be asked to be left out; the engine refuses the last two in its own words."""

WEIGHED = "What was found is still being weighed. Try again in a moment."

STANDING = 4
"""Lines for what stands in the way."""


class JobMapScreen(JobScreen):
    """Every inspection with its mark; the cursor begins on what the flow asks next."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "omit", "decide", "follow", "advice", "explain", "found", "sheet"
    )
    HERE: ClassVar[tuple[str, ...]] = ("open", "omit", "undo", "decide", "follow", "advice")
    ABOUT: ClassVar[tuple[str, str]] = (
        "The job map",
        "Every part of the job in its order, and how it stands. The mark stands on what comes next: take it with "
        "Enter, or move to any other part with Up and Down. What a part needs of the machine and isn't known is asked "
        "first; what is known isn't. What is left out needs a reason. You may decide what the fault is at any time. "
        "Next is what tells most for its minutes, and below stands why; g goes by the flow's own order instead, which "
        "is never wrong to follow. A flow may be led by its order: then g follows the advice. "
        "i shows how the machine stands. What keeps the repair from being "
        "proved stands below, and is never forgotten.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[MapRow, ...] = ()
        self._seq = -1
        self._moved = self._stays = False

    def body(self) -> ComposeResult:
        """The rows, what is known of the marked one, and what stands in the way."""
        yield PickList(id="map-rows")
        yield Static(id="map-detail")
        yield AdviceLine(id="map-advice")
        yield Static(id="map-standing")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The flow's title; the map is where one is."""
        left = sum(r.mark in ("", "open") and r.ready for r in rows(self.controller.view))
        return self.controller.flow.title, ("job map", f"{left} open", self.minutes), ""

    def everywhere(self) -> tuple[str, ...]:
        """All but the way to where one is, and what there is to read."""
        return (*(k for k in super().everywhere() if k != "map"), "found", "sheet", "explain")

    def project(self) -> None:
        """Fill the rows; as the job moves on the mark goes to what comes next, but stays where one was left out."""
        view = self.controller.view
        if view.state.seq != self._seq:
            self._seq, self._moved, self._stays = view.state.seq, self._stays, False
        self.query_one(AdviceLine).follow(view)
        self._list()
        width = self.room[0]
        self.query_one(PickList).focus()
        standing = standing_lines(view, width, STANDING)
        shown = self.query_one("#map-standing", Static)
        shown.display = bool(standing)
        shown.update(Content.styled("\n".join(standing), "bold $warning"))
        self._detail()

    def _list(self) -> None:
        """The rows, the mark on what one is led to, unless it was moved."""
        found = self.query_one(AdviceLine).ahead
        self._rows = rows(self.controller.view, found.next if found else None)
        shown = [row_line(r, self.room[0] - 2) for r in self._rows]
        self.query_one(PickList).show(shown, None if self._moved else cursor(self._rows))

    def on_advice_line_weighed(self) -> None:
        """It is known now what one is led to."""
        self._list()
        self._detail()

    def _detail(self) -> None:
        row = self._marked()
        lines = detail(row, self.room[0]) if row else []
        self.query_one("#map-detail", Static).update(Content("\n").join(map(Content, lines)))

    def _marked(self) -> MapRow | None:
        index = self.query_one(PickList).index
        return self._rows[index] if index < len(self._rows) else None

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        self._moved = self._moved or self._marked() != self._rows[cursor(self._rows)]
        self._detail()

    def on_pick_list_picked(self) -> None:
        """Take the marked row; not the flow's own next one while it is weighed which comes next."""
        view = self.controller.view
        weighing = self.query_one(AdviceLine).ahead is None and not self._moved
        if weighing and view.flow.lead is Lead.EVIDENCE and searching(view.state, queries.next_up(view)):
            self.host.say(WEIGHED)
            return
        self.action_go()

    def action_go(self) -> None:
        """Open the marked row."""
        row = self._marked()
        if row is None:
            return
        if not row.ready:
            self.host.say(row.note or "Not everything before it is done.")
            return
        match row.kind:
            case NextKind.DECIDE:
                self.action_decide()
            case NextKind.REPAIR:
                self.host.go(MapPlace("mending", row.target))
            case NextKind.CLOSE:
                self.host.go(MapPlace("handover"))
            case NextKind.RELEASE:
                ask_release(self.host, row.target)
            case _:
                self.host.act(cmd.OpenInspection(row.target, row.step))

    def action_omit(self) -> None:
        """Leave the marked row out: the engine asks for the reason, and never lets the end be left out."""
        row = self._marked()
        if row is None or row.kind not in OMITTED or not row.ready:
            self.host.say("Only an inspection can be left out.")
            return
        again = row.kind is NextKind.RECHECK
        self._stays = True
        self.host.act(cmd.Skip(row.target, "", recheck=again, step=row.step if again else ""))

    def action_follow(self) -> None:
        """Go the other way: by the flow's own order, or where that leads, by the advice."""
        found = self.query_one(AdviceLine).ahead
        if found is None:
            self.host.say(WEIGHED)
            return
        way = found.other or found.next
        if not found.open:
            self.host.say("Nothing is advised now: Enter follows the flow's order.")
        elif way.kind is NextKind.DECIDE:
            self.action_decide()
        else:
            self.host.act(cmd.OpenInspection(way.target))

    def action_decide(self) -> None:
        """To the decision, whatever is still open."""
        self.host.go(MapPlace("decision"))


def row_line(row: MapRow, width: int) -> Content:
    """One row: sign, title, how it stands, minutes, and how many are asked before it."""
    right = f"{row.word:<20.20} {_minutes(row)} {_first(row)}"
    title = f"{_sign(row.sign)} {row.title}"
    room = max(12, width - len(right) - 1)
    line = Content(cut(title, room).ljust(room) + " ").append(Content.styled(right, STYLES.get(row.mark, "")))
    return line if row.ready else line.stylize("$faint")


def _sign(mark: str) -> str:
    return sign(mark) if mark in ("✓", "✗") else "." if mark == "…" and plain() else mark


def _minutes(row: MapRow) -> str:
    return f"{row.minutes:>3.0f} min" if row.minutes else "       "


def _first(row: MapRow) -> str:
    return f"+{row.way:>3.0f} min" if row.steps else "        "
