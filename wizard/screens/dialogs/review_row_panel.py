"""One note or sign-off of a reviewer in full, for the technician: what it is about, its words, what was answered."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.foreign.harmless import harmless
from wizard.screens.layout import key_table
from wizard.screens.layout.panel import Panel
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import wrap
from wizard.screens.widgets.entry.scroll_hint import ScrollHint
from wizard.sessions.review_inbox import InboxRow
from wizard.sessions.reviews.review_text import response_line, row_head, row_words

WIDTH = 72
"""Columns of the words."""


class ReviewRowPanel(Panel[bool]):
    """Ends with True where it is to be answered. ``about``: the job and the event, a line each."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("answer-it")
    HERE: ClassVar[tuple[str, ...]] = ("answer-it", "scroll")
    ABOUT = (
        "From the reviewer",
        "What a reviewer wrote on a job of yours. Enter answers it in your words; the answer is kept beside the "
        "record, which is never changed. Esc goes back, and nothing is written.",
    )

    def __init__(self, one: InboxRow, about: Sequence[str]) -> None:
        super().__init__()
        self._one, self._about = one, tuple(about)

    def title_text(self) -> str:
        """Which job it is."""
        return f"{self._one.session}: {self._one.kind}"

    def body(self) -> ComposeResult:
        """Who wrote it and when, what it is about, the words; scrolled where they are longer than the screen."""
        one = self._one
        blocks = [
            wrap(harmless(row_head(one.row)), WIDTH, "$faint"),
            *(wrap(harmless(line), WIDTH) for line in self._about),
            wrap(harmless(row_words(one.row)) or "-", WIDTH, "bold"),
            *(wrap(harmless(response_line(r)), WIDTH) for r in one.review.responses_to(one.row)),
        ]
        with VerticalScroll(id="scroll"):
            yield Static(Content("\n").join(stack(*blocks)), id="words")
        yield ScrollHint("scroll")

    def action_go(self) -> None:
        """Answer it."""
        self.dismiss(True)
