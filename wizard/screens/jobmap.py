"""The job map: every part of the job, how it stands, and the way into it. Nothing is open while it is shown."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.screens import keys
from wizard.screens.jobscreen import JobScreen
from wizard.screens.models.jobmap import MapRow, cursor, detail, rows
from wizard.screens.models.lines import cut
from wizard.screens.models.standing import standing_lines
from wizard.screens.plain import plain, sign
from wizard.screens.scene import Place
from wizard.screens.widgets.adviceline import AdviceLine
from wizard.screens.widgets.picklist import PickList
from wizard.screens.widgets.verdicts import STYLES

STANDING = 4
"""Lines for bars and debts."""


class JobMapScreen(JobScreen):
    """Every inspection with its mark; the cursor begins on what the flow asks next."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings(
        "omit", "decide", "follow", "advice", "explain", "found", "sheet"
    )
    HERE: ClassVar[tuple[str, ...]] = ("open", "omit", "undo", "decide", "follow", "advice")
    ABOUT: ClassVar[tuple[str, str]] = (
        "The job map",
        "Every part of the job in its order, and how it stands. The mark stands on what comes next: take it with "
        "Enter, or move to any other part with Up and Down. A gate on the way is asked first, each time. What is left "
        "out needs a reason. You may decide what the fault is at any time. Below stands what is advised next and why: "
        "g follows it, through its gates; the flow's own order stays the default and is never wrong to follow. What is "
        "forbidden and what is owed stands below that, and is never forgotten.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[MapRow, ...] = ()
        self._seq = -1

    def body(self) -> ComposeResult:
        """The rows, what is known of the marked one, and what stands in the way."""
        yield PickList(id="map-rows")
        yield Static(id="map-detail")
        yield AdviceLine(id="map-advice")
        yield Static(id="map-standing")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The flow's title; the map is where one is."""
        left = sum(r.mark in ("", "open") and r.ready for r in rows(self.desk.flow, self.desk.state))
        return self.desk.flow.title, ("job map", f"{left} open", self.minutes), ""

    def everywhere(self) -> tuple[str, ...]:
        """All but the way to where one is, and what there is to read."""
        return (*(k for k in super().everywhere() if k != "map"), "found", "sheet", "explain")

    def project(self) -> None:
        """Fill the rows; whenever the job has moved on, the mark goes to what comes next."""
        flow, state = self.desk.flow, self.desk.state
        self._rows = rows(flow, state)
        width = self.room[0]
        listed = self.query_one(PickList)
        moved = state.seq != self._seq
        self._seq = state.seq
        listed.show([row_line(r, width - 2) for r in self._rows], cursor(self._rows) if moved else None)
        listed.focus()
        standing = standing_lines(flow, state, width, STANDING)
        shown = self.query_one("#map-standing", Static)
        shown.display = bool(standing)
        shown.update(Content.styled("\n".join(standing), "bold $warning"))
        self.query_one(AdviceLine).follow(flow, state)
        self._detail()

    def _detail(self) -> None:
        row = self._marked()
        self.query_one("#map-detail", Static).update(Content(detail(row) if row else ""))

    def _marked(self) -> MapRow | None:
        index = self.query_one(PickList).index
        return self._rows[index] if index < len(self._rows) else None

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        self._detail()

    def on_pick_list_picked(self) -> None:
        """Take the marked row."""
        if not self.host.guard.early():
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
            case "decide":
                self.action_decide()
            case "repair":
                self.host.go(Place("mending", row.target))
            case "close":
                self.host.go(Place("handover"))
            case _:
                inspection, _, step = row.target.partition(".")
                self.host.act(cmd.Open(inspection, step))

    def action_omit(self) -> None:
        """Leave the marked row out: the engine asks for the reason, and never lets a gate or the end be left out."""
        row = self._marked()
        if row is None or row.kind not in ("inspect", "recheck", "leave", "handover") or not row.ready:
            self.host.say("Only an inspection can be left out.")
            return
        self.host.act(cmd.Skip(row.target, "", recheck=row.kind == "recheck"))

    def action_follow(self) -> None:
        """Follow the advice: open what it names, through its gates. It stays the technician's choice."""
        if self.host.guard.early():
            return
        found = self.query_one(AdviceLine).ahead
        if found is None:
            self.host.say("What was found is still being weighed. Try again in a moment.")
        elif not found.open:
            self.host.say("Nothing is advised now: Enter follows the flow's order.")
        elif found.coming.kind == "decide":
            self.action_decide()
        else:
            self.host.act(cmd.Open(found.coming.target))

    def action_decide(self) -> None:
        """To the decision, whatever is still open."""
        self.host.go(Place("decision"))


def row_line(row: MapRow, width: int) -> Content:
    """One row: sign, title, how it stands, minutes, gates on the way."""
    right = f"{row.word:<20.20} {_minutes(row)} {_gates(row)}"
    title = f"{_sign(row.sign)} {row.title}"
    room = max(12, width - len(right) - 1)
    line = Content(cut(title, room).ljust(room) + " ").append(Content.styled(right, STYLES.get(row.mark, "")))
    return line if row.ready else line.stylize("$faint")


def _sign(mark: str) -> str:
    return sign(mark) if mark in ("✓", "✗") else "." if mark == "…" and plain() else mark


def _minutes(row: MapRow) -> str:
    return f"{row.minutes:>3.0f} min" if row.minutes else "       "


def _gates(row: MapRow) -> str:
    count = len(row.gates)
    return "       " if not count else f"{count} gate{'s' if count > 1 else ' '}"
