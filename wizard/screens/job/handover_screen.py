"""The handover: the customer's paper on screen and in a file, the parts list, and closing by a typed word."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.documents.files.paper_files import Papers
from wizard.documents.papers.job_header import result_words
from wizard.engine.handlers import visit_end
from wizard.screens.dialogs.visit_prompts import ask_close
from wizard.screens.job.handover_files import HANDOVER_ROWS, hand_over, handover_now
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.text.columns import stack
from wizard.screens.text.paper_view import paper_view
from wizard.screens.text.step_text import labelled
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines
from wizard.screens.widgets.entry.scroll_hint import ScrollHint


class HandoverScreen(JobScreen):
    """Read it to the customer, write it, close."""

    BINDINGS: ClassVar[list[BindingType]] = [
        *key_table.bindings("digits"),
        Binding("w", "write", "write", show=False),
        Binding("escape", "job('map')", "back", show=False),
    ]
    HERE: ClassVar[tuple[str, ...]] = ("scroll", "digits:2")
    ABOUT: ClassVar[tuple[str, str]] = (
        "The handover",
        "This is what the customer gets. Read it with them. 1 writes it into the session's folder, with your full "
        "record, and a parts list where parts are on order. 2 closes the visit with a typed word; the papers are "
        "written again first if anything changed. What is still owed is said, and closing is refused until it is done.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._papers: Papers | None = None
        self._seq = -1

    def body(self) -> ComposeResult:
        """The summary, which is longer than the screen, and what can be done."""
        with VerticalScroll(id="handover-read"):
            yield Static(id="handover-text")
        yield ScrollHint("handover-read")
        yield Static(id="handover-answers")

    def on_mount(self) -> None:
        """The arrow keys move the text."""
        super().on_mount()
        self.query_one(VerticalScroll).focus()

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """How the visit ends, if it is closed now."""
        return (
            "Handover",
            (result_words(self.controller.view), time_so_far(self.host)),
            "For the customer to read",
        )

    def project(self) -> None:
        """Show the summary as it stands now."""
        width = self.room.columns
        text = paper_view(handover_now(self.host), width - 3)
        self.query_one("#handover-text", Static).update(Content("\n").join(text))
        self.query_one("#handover-answers", Static).update(Content("\n").join(self._below(width)))

    def _below(self, width: int) -> list[Content]:
        words = visit_end.unclosed(self.controller.view)
        files = self._files(width) if self._papers and self._seq == self.controller.state.seq else []
        rows = [AnswerRow(str(n), says) for n, says in enumerate(HANDOVER_ROWS, start=1)]
        not_yet = labelled("Not yet:", words, width) if words else []
        return stack([*files, *not_yet], answer_lines(rows, width))

    def _files(self, width: int) -> list[Content]:
        assert self._papers is not None
        return labelled(
            "Written:", f"{', '.join(self._papers.names)} in {self.controller.opened.folder}", width
        )

    def action_digit(self, number: int) -> None:
        """1 writes, 2 closes."""
        if number == 1:
            self.action_write()
        elif number == 2:
            self.action_finish()
        else:
            self.host.say(key_table.wrong_digit(number, self.here()))

    def action_write(self) -> None:
        """Write the papers."""
        done = hand_over(self.host)
        if done is not None:
            self._papers, self._seq = done, self.controller.state.seq
            self.refresh_all()

    def action_finish(self) -> None:
        """Close the visit: papers first, then the typed word."""
        if words := visit_end.unclosed(self.controller.view):
            self.host.say(words)
            return
        if self._seq != self.controller.state.seq:
            self.action_write()
        if self._seq == self.controller.state.seq:
            ask_close(self.host)
