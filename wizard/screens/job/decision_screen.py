"""The decision: the faults in the order of their likelihood, ticked or not, with what speaks for and against each."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.content import Content
from textual.widgets import Static

from wizard.domain.probability import percent
from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_view import JobView
from wizard.screens.dialogs.prompts import AskWhy, ask_yes
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.text.wrapping import wrapped
from wizard.screens.viewmodels.fault_rows import (
    FaultRow,
    fault_rows,
    reasons,
    second_lines,
    second_question,
    toggled,
    why_question,
)
from wizard.screens.viewmodels.ranking_cache import RankingCache
from wizard.screens.viewmodels.step.step_columns import EVIDENCE
from wizard.screens.widgets.fault_line import fault_lines, width_of
from wizard.screens.widgets.picklist import PickList

REASONS = 3
"""Lines, at least, for what speaks for and against the marked fault."""

GAP = 3
"""Columns between the faults and the reasons where they stand side by side."""


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
        self._thinking = RankingCache()
        self._rows: tuple[FaultRow, ...] = ()
        self._ticked: frozenset[str] | None = None
        self._asking = False

    def body(self) -> ComposeResult:
        """What to do, the faults, the reasons."""
        yield Static("Tick what you confirm. Nothing ticked: no fault was found.", id="decision-do")
        with Container(id="decision-columns"):
            yield PickList(id="decision-rows")
            yield Static(id="decision-why")

    def on_mount(self) -> None:
        """The list has the keys."""
        super().on_mount()
        self.query_one(PickList).focus()

    def here(self) -> tuple[str, ...]:
        """The cursor, the digits that tick, Enter, and what explains."""
        ticks = ",".join(str(r.digit) for r in self._rows if r.digit)
        return ("cursor", f"tick:{ticks}" if ticks else "tick", "confirm", "advice", "explain")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """What is decided here."""
        return "What is it?", ("decision", time_so_far(self.host)), self.controller.flow.title

    @property
    def ticked(self) -> frozenset[str]:
        """What is ticked: what was decided before, until a tick changes it."""
        return frozenset(self.controller.state.decided or ()) if self._ticked is None else self._ticked

    def project(self) -> None:
        """Show the ranking if it is there; else have it computed."""
        view = self.controller.view
        if not self._thinking.ready(view.state):
            self.query_one("#decision-why", Static).update("Weighing what was found ...")
            self._think(view, "", self.ticked)
            return
        self._rows = fault_rows(
            self.controller.flow, self._thinking.ranked, self.ticked, self._thinking.decided
        )
        self.query_one("#decision-columns").set_class(self.room.wide, "-wide")
        listed = self.query_one(PickList)
        listed.styles.width = self._listed if self.room.wide else "1fr"
        listed.show(fault_lines(self._rows, self._listed - 2, ticks=True))
        self._why()
        self.show_keys()

    @work(thread=True, exclusive=True, group="thinking")
    def _think(self, view: JobView, fault: str, ticked: frozenset[str]) -> None:
        self._thinking.think(view, fault, ticked)
        self.call_later(self._thought, view.state.seq)

    def _thought(self, seq: int) -> None:
        if self.is_mounted and seq == self.controller.state.seq:
            self.project()
            if self._asking and self.ticked in self._thinking.seconds:
                self.action_go()

    def _marked(self) -> FaultRow | None:
        index = self.query_one(PickList).index
        return self._rows[index] if index < len(self._rows) else None

    def _why(self) -> None:
        """What speaks for and against the marked fault, computed when it is first asked for."""
        row = self._marked()
        shown = self.query_one("#decision-why", Static)
        if row is None:
            shown.update("No fault of this flow fits this machine. Enter confirms that none was found.")
            return
        told = self._thinking.told.get(row.fault)
        if told is None:
            shown.update(f"{row.says}: weighing ...")
            self._think(self.controller.view, row.fault, self.ticked)
            return
        width = self.room.columns - (self._listed + GAP if self.room.wide else 0)
        head = [
            Content.styled(line, "bold") for line in wrapped(f"{row.says}: {percent(row.probability)}", width)
        ]
        below = self._below(width)
        taken = len(head) + len(below) + (2 if self.room.wide else 5 + self.query_one(PickList).lines)
        why = map(Content, reasons(told, max(REASONS, self.room.lines - taken), width))
        shown.update(Content("\n").join([*head, *why, *below]))

    @property
    def _listed(self) -> int:
        """Columns of the faults: all of them, or on a wide screen what their names need, beside the reasons."""
        columns = self.room.columns
        return (
            min(2 + width_of(self._rows, ticks=True), columns - GAP - EVIDENCE) if self.room.wide else columns
        )

    def _below(self, width: int) -> list[Content]:
        """What the ticked faults leave to ask; with nothing ticked, whether a check is still worth its minutes."""
        second, counsel = self._thinking.seconds.get(self.ticked), self._thinking.counsel
        if not self.ticked:
            says = [counsel.says] if counsel else []
        else:
            ranked = self._thinking.ranked
            says = second_lines(self.controller.flow, second, self.ticked, ranked) if second else []
        if not self.room.wide:
            says = [" ".join(says)]
        return [Content.styled(line, "$primary") for text in says for line in wrapped(text, width)]

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        self._why()

    def on_pick_list_picked(self) -> None:
        """Take the marked row."""
        self.action_go()

    def action_digit(self, number: int) -> None:
        """Tick the fault with that digit."""
        row = next((r for r in self._rows if r.digit == number), None)
        if row is not None:
            self._tick(row)
        elif self._rows:
            self.host.say(key_table.wrong_digit(number, self.here()))

    def action_tick(self) -> None:
        """Tick the marked fault."""
        row = self._marked()
        if row is not None:
            self._tick(row)

    def _tick(self, row: FaultRow) -> None:
        self._ticked, self._asking = toggled(self.controller.flow, self.ticked, row.fault), False
        self.project()
        if self.ticked and self.ticked not in self._thinking.seconds:
            self._think(self.controller.view, "", self.ticked)

    def action_go(self) -> None:
        """Confirm what is ticked: with something left unexplained, or none ticked, after a second yes."""
        self._asking = False
        if not self._thinking.ready(self.controller.state):
            return
        faults = tuple(r.fault for r in self._rows if r.fault in self.ticked)
        if not faults:
            self._confirm_none()
        elif self.ticked == frozenset(self.controller.state.decided or ()):
            self.host.act(cmd.Confirm(faults))
        elif self.ticked not in self._thinking.seconds:
            self._asking = True
            self._think(self.controller.view, "", self.ticked)
        else:
            self._confirm(faults)

    def _confirm(self, faults: tuple[str, ...]) -> None:
        """Ask what stays unexplained, where anything does; then confirm."""
        second = self._thinking.seconds[self.ticked]
        if not second.left:
            self._take(faults)
            return
        says = second_question(second, self.ticked, self._thinking.ranked)
        question = ask_yes(
            "What stays unexplained?", says, "Confirm what is ticked", "Go back: look for another"
        )
        self.host.ask(question, lambda said: self._take(faults) if said == "yes" else None)

    def _take(self, faults: tuple[str, ...]) -> None:
        """Confirm; against the ranking with a reason, in its own field so that no letter of it is a key."""
        from wizard.review.flags.thresholds import shipped  # Late: only asked for here.

        below = shipped().number("override-no-reason", "ranked-below")
        says = why_question(self._rows, faults, below)
        if not says:
            self.host.act(cmd.Confirm(faults))
            return
        self.host.ask(AskWhy("Why this?", says), lambda why: self.host.act(cmd.Confirm(faults, why)))

    def _confirm_none(self) -> None:
        says = "Nothing is ticked. Was everything looked at, and no fault found?"
        question = ask_yes("No fault?", says, "Yes: no fault was found", "No: go back")
        self.host.ask(question, lambda said: self.host.act(cmd.Confirm(())) if said == "yes" else None)
