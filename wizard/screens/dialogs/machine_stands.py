"""How the machine stands: every condition, what it may be, since when, and by which step."""

from __future__ import annotations

import textwrap
from itertools import zip_longest

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.engine.queries.machine_view import Standing, standings
from wizard.engine.state.job_state import State
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text import labels
from wizard.screens.text.reach_text import hands_here
from wizard.screens.text.shared_sentences import MACHINE_STANDS
from wizard.screens.text.step_place import WHOLE, asked_for
from wizard.screens.text.step_text import labelled

BY = 32
"""Columns for since when, and by which step."""

WIDEST = 110
"""Columns that a row is never wider than, so that both ends of it are seen together."""


class StandsPanel(Panel[cmd.Command]):
    """Read it; nothing is changed here."""

    HERE = ("scroll",)
    TITLE_TEXT = MACHINE_STANDS
    ABOUT = (
        MACHINE_STANDS,
        "What the job believes of the machine, condition by condition, since when and by which step. What is not "
        "known is asked before hands go where it matters. A break, a restart or a long silence makes less known, "
        "never more.",
    )

    def __init__(self, controller: JobController) -> None:
        super().__init__()
        self._controller = controller

    def body(self) -> ComposeResult:
        """The table."""
        with VerticalScroll(id="stands-read"):
            yield Static(id="stands-text")

    def on_mount(self) -> None:
        """Show it; the arrow keys move it."""
        super().on_mount()
        self._fill()
        self.query_one(VerticalScroll).focus()

    def on_resize(self) -> None:
        """Lay it out anew."""
        if self.is_mounted:
            self._fill()

    def _fill(self) -> None:
        width = max(BY + 20, min(self.app.size.width - 5, WIDEST))
        found = standings(self._controller.view)
        rows = [line for one in found for line in standing_lines(self._controller.state, one, width)]
        hands, source = hands_here(self._controller.view)
        why = (("Asked now:", asked_for(self._controller.view, WHOLE)), ("Hands:", hands), ("By:", source))
        if told := [line for label, text in why if text for line in labelled(label, text, width)]:
            rows = [*told, Content(""), *rows]
        self.query_one("#stands-text", Static).update(Content("\n").join(rows))


def standing_lines(state: State, standing: Standing, width: int) -> list[Content]:
    """'Supply: plug out, in hand or bag        09:14 Power off and on', whole, on as many lines as that takes.

    What isn't sure is coloured.
    """
    words = labels.since(state, standing)
    room = width - BY - 1
    left = textwrap.wrap(f"{standing.says}: {standing.words}", room, subsequent_indent="  ")
    right = textwrap.wrap(words, BY, subsequent_indent=" " * 6)
    rows = (f"{says:<{room}} {by}".rstrip() for says, by in zip_longest(left, right, fillvalue=""))
    return [Content.styled(row, "" if standing.sure else "$warning") for row in rows]
