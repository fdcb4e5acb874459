"""Stop work: choose the reason by its digit, see whom to call, Enter. Quick, from any screen."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Stop
from wizard.screens.layout import key_table
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text.columns import stack
from wizard.screens.text.shared_sentences import WHY_STOP
from wizard.screens.text.step_text import labelled
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines

PAGE = 8
"""Reasons on a page; the digit after its last one turns it."""


class StopWorkPanel(Panel[cmd.Command]):
    """Ends with StopWork for the reason chosen."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("digits", "go")
    TITLE_TEXT = WHY_STOP
    ABOUT = (
        "Stop work",
        "Press the digit of the reason, read whom to call, and press Enter. The job is kept; the next screen says how "
        "to leave the machine safe. The last digit shows more reasons.",
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._stops = tuple(controller.flow.stops.values())
        self._page = 0
        self._chosen: Stop | None = None

    def body(self) -> ComposeResult:
        """The reasons, and whom to call for the chosen one."""
        yield Static(id="words")

    def on_mount(self) -> None:
        """Show the first page."""
        self._draw()

    def action_digit(self, digit: int) -> None:
        """Mark a reason, or turn the page."""
        page = self.on_page()
        if digit == len(page) + 1 and len(self._stops) > PAGE:
            self._page = (self._page + 1) % -(-len(self._stops) // PAGE)
            self._chosen = None
        elif digit <= len(page):
            self._chosen = page[digit - 1]
        else:
            self.say(key_table.wrong_digit(digit, self.here()))
            return
        self.say("")
        self._draw()

    def here(self) -> tuple[str, ...]:
        """The digits of the reasons on this page, one more where there are others, and Enter."""
        return (f"digits:{len(self.on_page()) + (len(self._stops) > PAGE)}", "go")

    def on_page(self) -> tuple[Stop, ...]:
        """The reasons on the page shown."""
        return self._stops[self._page * PAGE : (self._page + 1) * PAGE]

    def action_go(self) -> None:
        """Stop."""
        if self._chosen is None:
            self.say("Press the digit of the reason first.")
        else:
            self.dismiss(cmd.StopWork(self._chosen.id, self._chosen.says))

    def _draw(self) -> None:
        rows = [
            AnswerRow(str(n + 1), stop.says, stop is self._chosen) for n, stop in enumerate(self.on_page())
        ]
        if len(self._stops) > PAGE:
            rows.append(AnswerRow(f"{len(rows) + 1}", "More reasons"))
        width = 72
        lines = stack(
            answer_lines(rows, width), labelled("Call:", self._chosen.call, width) if self._chosen else []
        )
        if self._chosen:
            lines += [
                Content(""),
                Content.styled(" Enter ", "bold $key on $key-ground").append("  Stop work now"),
            ]
        self.query_one("#words", Static).update(Content("\n").join(lines))
        self.show_keys()
