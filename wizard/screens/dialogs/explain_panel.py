"""Why each fault stands where it stands: findings for and against, what it rests on, what would change it."""

from __future__ import annotations

from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static
from textual.worker import get_current_worker

from wizard.engine.messages import commands as cmd
from wizard.engine.state.job_view import JobView
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.shared_sentences import NO_FAULT_FITS
from wizard.screens.viewmodels.faults.explanation_lines import LEGEND, explained
from wizard.screens.viewmodels.faults.fault_rows import FaultRow, fault_rows
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache
from wizard.screens.widgets.entry.picklist import PickList
from wizard.screens.widgets.faults.fault_line import fault_lines

FRAME = 6
"""Lines that the sheet's title, message and keys take."""


class ExplainPanel(Panel[cmd.Command]):
    """The faults above, the marked one explained below."""

    HERE: ClassVar[tuple[str, ...]] = ("cursor",)
    ABOUT = (
        "Why",
        "The faults in the order of their likelihood; move the mark, and below stands what was found for (+) and "
        "against (-) the marked one, heaviest first, each with what it does to its odds. ! warns that it rests on one "
        "weak finding, ? that an answer was close to a limit. Last, what would change the ranking most.",
    )
    TITLE_TEXT = "What speaks for and against each fault"

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller
        self._thinking = RankingCache()
        self._rows: tuple[FaultRow, ...] = ()

    def body(self) -> ComposeResult:
        """The faults, and the marked one explained."""
        yield PickList(id="explain-rows")
        yield Static("Weighing what was found ...", id="explain-why")

    def on_mount(self) -> None:
        """Have the ranking computed."""
        super().on_mount()
        self.query_one(PickList).focus()
        self._think(self._controller.view, "")

    def on_resize(self) -> None:
        """Lay it out anew."""
        if self._rows:
            self._fill()

    @work(thread=True, exclusive=True, group="thinking")
    def _think(self, view: JobView, fault: str) -> None:
        self._thinking.think(view, fault)
        if self.is_mounted and not get_current_worker().is_cancelled:
            self.call_later(self._thought)

    def _thought(self) -> None:
        if self.is_mounted and self._thinking.ready(self._controller.state):
            self._fill()

    def _fill(self) -> None:
        found = self._thinking
        self._rows = fault_rows(self._controller.flow, found.ranked, frozenset(), found.decided)
        width = max(30, self.app.size.width - 4)
        listed = self.query_one(PickList)
        listed.show(fault_lines(self._rows, width - 2))
        listed.styles.height = self._listed()
        self._why()

    def _room(self) -> int:
        return int(self.app.size.height) - FRAME

    def _listed(self) -> int:
        """Lines of the list."""
        return max(3, min(self.query_one(PickList).lines, self._room() // 3))

    def _why(self) -> None:
        """Explain the marked fault; computed when it is first asked for."""
        index, shown = self.query_one(PickList).index, self.query_one("#explain-why", Static)
        if index >= len(self._rows):
            shown.update(NO_FAULT_FITS)
            return
        row = self._rows[index]
        words = self._thinking.explained.get(row.fault)
        if words is None:
            shown.update(f"{row.says}: weighing ...")
            self._think(self._controller.view, row.fault)
            return
        width = max(30, self.app.size.width - 4)
        room = self._room() - self._listed() - 2
        lines = [Content(line) for line in explained(words, row.says, row.decided, width, room)]
        lines[0] = lines[0].stylize("bold")
        shown.update(Content("\n").join([*lines, Content.styled(LEGEND, "$faint")]))

    def on_pick_list_moved(self) -> None:
        """The mark moved."""
        self._why()

    def on_pick_list_picked(self) -> None:
        """There is nothing to take here."""
        self.dismiss(None)
