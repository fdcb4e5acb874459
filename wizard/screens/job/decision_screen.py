"""The decision: the faults in the order of their likelihood, ticked or not, with what speaks for and against each."""

from __future__ import annotations

from dataclasses import replace
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.widgets import Static

from wizard.engine.state.job_view import JobView
from wizard.screens.dialogs.confirm_prompts import confirm
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.viewmodels.faults.defect_lines import defect_lines
from wizard.screens.viewmodels.faults.fault_choice import NO_ROW, FaultChoice, begin_choice, ranked_choice
from wizard.screens.viewmodels.faults.fault_rows import FaultRow
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.faults.fault_line import fault_lines
from wizard.screens.widgets.faults.fault_reasons import FaultReasons, lines_needed


class DecisionScreen(JobScreen):
    """Digits or space tick, Enter confirms what is ticked: one fault, several, or none."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("digits", "tick", "advice", "explain"),
        Binding("escape", "job('map')", "back", show=False),
    ]
    ABOUT: ClassVar[tuple[str, str]] = (
        "The decision",
        "Tick what you confirm, with its digit or with the space bar, then take it with Enter. Two faults at once are "
        "normal. With nothing ticked, Enter confirms that no fault was found. The percentage is how likely a fault is "
        "after all answers so far; below stand the findings that speak for (+) and against (-) the marked one, and "
        "what those ticked leave unexplained. 'decided' says that the fault is far ahead and no open check is worth "
        "its minutes. You decide, not the percentage; against it, you are asked why. What is owed stays owed.",
    )

    def __init__(self) -> None:
        super().__init__()
        self.choice: FaultChoice | None = None
        self._ticks: frozenset[str] | None = None
        self._thinking = RankingCache()
        self._asking = False
        self._above: list[str] = []

    def body(self) -> ComposeResult:
        """What to do, the faults, the reasons."""
        yield Static(id="decision-do")
        with Container(id="decision-columns"):
            yield PickList(id="decision-rows")
            yield FaultReasons(id="decision-why")

    def on_mount(self) -> None:
        """The list has the keys."""
        self.query_one(PickList).focus()

    def here(self) -> tuple[str, ...]:
        """The cursor, the digits that tick, Enter, and what explains."""
        ticks = self.choice.digits if self.choice else ""
        return ("cursor", f"tick:{ticks}" if ticks else "tick", "confirm", "advice", "explain")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """What is decided here."""
        return "What is it?", ("decision", time_so_far(self.host)), self.controller.flow.title

    def project(self) -> None:
        """Show the ranking if it is there; else have it computed."""
        view, found = self.controller.view, self._thinking
        begun = begin_choice(view, self._ticks)
        self._above = defect_lines(view, self.room.columns)
        self.query_one("#decision-do", Static).update("\n".join((*self._above, begun.task)))
        if not found.ready(view.state):
            old = self.choice or begun
            self.choice = replace(old, ticked=begun.ticked, before=begun.before)
            self.query_one(FaultReasons).update("Weighing what was found ...")
            self._think(view, "", begun.ticked)
            return
        self.choice = ranked_choice(begun, found.ranked, found.decided)
        room, shown = self.room, self.query_one(PickList)
        columns = lines_needed(self.choice.rows, room)
        self.query_one("#decision-columns").set_class(room.wide, "-wide")
        shown.styles.width = columns if room.wide else "1fr"
        shown.show(fault_lines(self.choice.rows, columns - 2, ticks=True))
        self._explain(self.choice)
        self.show_keys()

    @work(thread=True, exclusive=True, group="thinking")
    def _think(self, view: JobView, fault: str, ticked: frozenset[str]) -> None:
        self._thinking.think(view, fault, ticked)
        self.call_later(self._thought, view.state.seq)

    def _thought(self, seq: int) -> None:
        if self.is_mounted and seq == self.controller.state.seq:
            self.project()
            if self._asking and self.choice and self.choice.ticked in self._thinking.seconds:
                self.action_go()

    def _explain(self, choice: FaultChoice) -> None:
        """What speaks for and against the marked fault, computed when it is first asked for."""
        found, shown, rows = self._thinking, self.query_one(FaultReasons), self.query_one(PickList)
        row = choice.at(rows.index)
        if row is None:
            shown.update(NO_ROW)
            return
        words = found.explained.get(row.fault)
        if words is None:
            shown.update(f"{row.says}: weighing ...")
            self._think(self.controller.view, row.fault, choice.ticked)
            return
        left = choice.left(found.seconds.get(choice.ticked), found.counsel, self.room.wide)
        shown.show(
            row,
            words,
            left,
            self.room,
            (lines_needed(choice.rows, self.room), rows.lines),
            len(self._above),
        )

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        if self.choice is not None:
            self._explain(self.choice)

    def on_pick_list_picked(self) -> None:
        """Take the marked row."""
        self.action_go()

    def action_digit(self, number: int) -> None:
        """Tick the fault with that digit."""
        row = self.choice.numbered(number) if self.choice else None
        if row is None and self.choice and self.choice.rows:
            self.host.say(key_table.wrong_digit(number, self.here()))
        self._tick(row)

    def action_tick(self) -> None:
        """Tick the marked fault."""
        self._tick(self.choice.at(self.query_one(PickList).index) if self.choice else None)

    def _tick(self, row: FaultRow | None) -> None:
        if row is None or self.choice is None:
            return
        self._ticks, self._asking = self.choice.toggled(row.fault), False
        self.project()
        if self._ticks and self._ticks not in self._thinking.seconds:
            self._think(self.controller.view, "", self._ticks)

    def action_go(self) -> None:
        """Confirm what is ticked: with something left unexplained, or none ticked, after a second yes."""
        self._asking, choice, found = False, self.choice, self._thinking
        if choice is None or not found.ready(self.controller.state):
            return
        second = found.seconds.get(choice.ticked)
        if choice.faults and not choice.unchanged and second is None:
            self._asking = True
            self._think(self.controller.view, "", choice.ticked)
        else:
            confirm(self.host, choice, second)
