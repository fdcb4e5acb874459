"""The job map: every part of the job, how it stands, and the way into it. Nothing is open while it is shown."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from wizard.domain.vocabulary import Lead, NextKind
from wizard.engine.messages import commands as cmd
from wizard.engine.queries import next_queries
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.shared_sentences import BY_FLOW, NONE_BEFORE_DONE, ONLY_INSPECTION
from wizard.screens.viewmodels.faults.advice_rows import searching
from wizard.screens.viewmodels.job_map.map_rows import FOLD, OMITTED, MapMark, MapRow, cursor, folded, rows
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.job_map.map_beside import MapBeside
from wizard.screens.widgets.job_map.map_line import listed_columns, map_lines

WEIGHED = "What was found is still being weighed. Try again in a moment."


class JobMapScreen(JobScreen):
    """Every inspection with its mark; the cursor begins on what the flow asks next."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "omit", "decide", "follow", "advice", "explain", "found", "sheet", "fold"
    )
    HERE: ClassVar[tuple[str, ...]] = ("open", "omit", "undo", "decide", "follow", "advice")
    ABOUT: ClassVar[tuple[str, str]] = (
        "The job map",
        "Every part of the job in its order, and how it stands. The mark stands on what comes next: take it with "
        "Enter, or move to any other part with Up and Down. What a part needs of the machine and isn't known is asked "
        "first; what is known isn't. What is left out needs a reason. You may decide what the fault is at any time. "
        "Next is what tells most for its minutes, and below or beside it stands why; g goes by the flow's own order "
        "instead, which is never wrong to follow. A flow may be led by its order: then g follows the advice. o shows "
        "the parts that are not for this machine, and why they aren't. i shows how the machine stands. What keeps the "
        "repair from being proved stands there too, and is never forgotten.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._rows: tuple[MapRow, ...] = ()
        self._seq = -1
        self._opened = False

    def body(self) -> ComposeResult:
        """The rows, and what belongs to them: below, or beside them on a wide screen."""
        with Container(id="map-columns"):
            yield PickList(id="map-rows")
            yield MapBeside()

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The flow's title; the map is where one is."""
        left = sum(r.mark in (MapMark.UNBEGUN, MapMark.OPEN) and r.ready for r in rows(self.controller.view))
        return self.controller.flow.title, ("job map", f"{left} open", time_so_far(self.host)), ""

    def everywhere(self) -> tuple[str, ...]:
        """All but the way to where one is, and what there is to read."""
        return (*(k for k in super().everywhere() if k != key_table.MAP), "found", "sheet", "explain", "fold")

    def project(self) -> None:
        """Fill the rows; as the job moves on the mark stays where it was moved to and on what was opened, but goes to
        what comes next once that is done or left out.
        """
        view = self.controller.view
        moved_on, self._seq = view.state.seq != self._seq, view.state.seq
        self._fill(moved_on)
        self.query_one(PickList).focus()
        beside, room = self.query_one(MapBeside), self.room
        listed = listed_columns(self._rows, room.columns)
        beside.follow(view, room.columns, room.columns - listed - 3 if room.wide else 0)
        beside.detail(self._marked())

    def _fill(self, moved_on: bool = False) -> None:
        """The rows, the mark on what one is led to, or on the row that it was moved to. ``moved_on``: the job did."""
        found = self.query_one(MapBeside).advice.ahead
        self._rows = folded(rows(self.controller.view, found.next if found else None), self._opened)
        mark, places = self.controller.map_mark, [row.place for row in self._rows]
        mark.begin(len(self.controller.view.state.visits))
        if moved_on:
            at = places.index(mark.place) if mark.place in places else None
            mark.settle(self._rows[at].mark if at is not None else None, at is None or self._rows[at].closed)
        kept = places.index(mark.place) if mark.place in places else cursor(self._rows)
        listed, room = self.query_one(PickList), self.room
        columns = listed_columns(self._rows, room.columns) if room.wide else room.columns
        listed.styles.width = columns if room.wide else "1fr"
        self.query_one("#map-columns").set_class(room.wide, "-wide")
        listed.show(map_lines(self._rows, columns - 2, reasons=not room.wide), kept)

    def on_advice_line_weighed(self) -> None:
        """It is known now what one is led to."""
        self._fill()
        self.query_one(MapBeside).detail(self._marked())

    def _marked(self) -> MapRow | None:
        index = self.query_one(PickList).index
        return self._rows[index] if index < len(self._rows) else None

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        row = self._marked()
        if row is not None:
            self.controller.map_mark.move(row.place, row.mark)
        self.query_one(MapBeside).detail(self._marked())

    def on_pick_list_picked(self) -> None:
        """Take the marked row; not the flow's own next one while it is weighed which comes next."""
        view = self.controller.view
        weighing = self.query_one(MapBeside).advice.ahead is None and self.controller.map_mark.place is None
        if weighing and view.flow.lead is Lead.EVIDENCE and searching(view, next_queries.next_up(view)):
            self.host.say(WEIGHED)
            return
        self.action_go()

    def action_go(self) -> None:
        """Open the marked row."""
        row = self._marked()
        if row is None:
            return
        if row.target == FOLD:
            self.action_fold()
            return
        if not row.ready:
            self.host.say(row.note or NONE_BEFORE_DONE)
            return
        self.controller.map_mark.act(row.place)
        match row.kind:
            case NextKind.DECIDE:
                self.action_decide()
            case NextKind.REPAIR:
                self.host.go(MapPlace(SceneKind.REPAIR, row.target))
            case NextKind.CLOSE:
                self.host.go(MapPlace(SceneKind.HANDOVER))
            case NextKind.RELEASE:
                ask_release(self.host, row.target)
            case NextKind.CAUSE:
                self.host.act(cmd.AskCause(row.target))
            case _:
                self.host.act(cmd.OpenInspection(row.target, row.step))

    def action_fold(self) -> None:
        """Show the parts that are not for this machine, or fold them again; the mark stands on their row."""
        self._opened = not self._opened
        self._fill()
        at = next((n for n, row in enumerate(self._rows) if row.target == FOLD), None)
        if at is not None:
            self.controller.map_mark.move(self._rows[at].place, self._rows[at].mark)
            self.query_one(PickList).show(self.query_one(PickList).rows, at)
            self.query_one(MapBeside).detail(self._marked())

    def action_omit(self) -> None:
        """Leave the marked row out: the engine asks for the reason, and never lets the end be left out."""
        row = self._marked()
        if row is None or row.kind not in OMITTED or not row.ready:
            self.host.say(f"{ONLY_INSPECTION}.")
            return
        again = row.kind is NextKind.RECHECK
        self.controller.map_mark.act(row.place)
        self.host.act(cmd.Skip(row.target, "", recheck=again, step=row.step if again else ""))

    def action_follow(self) -> None:
        """Go the other way: by the flow's own order, or where that leads, by the advice."""
        found = self.query_one(MapBeside).advice.ahead
        if found is None:
            self.host.say(WEIGHED)
            return
        way = found.other or found.next
        if not found.open:
            self.host.say(BY_FLOW)
        elif way.kind is NextKind.DECIDE:
            self.action_decide()
        else:
            self.host.act(cmd.OpenInspection(way.target))

    def action_decide(self) -> None:
        """To the decision, whatever is still open; not while a stop stands."""
        if why := next_queries.undecidable(self.controller.view):
            self.host.say(why)
            return
        self.host.go(MapPlace(SceneKind.DECISION))
