"""How the machine stands: every condition, what it may be, since when, and by which step."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.engine.state.machine_view import Standing, standings
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.panel import Panel
from wizard.screens.text import labels
from wizard.screens.text.clipping import cut
from wizard.screens.text.step_text import labelled
from wizard.screens.widgets.headline import asked_for

WHOLE = 1000
"""Columns that nothing asked is longer than: here it runs on over several lines."""


class StandsPanel(Panel[cmd.Command]):
    """Read it; nothing is changed here."""

    HERE = ("scroll",)
    TITLE_TEXT = "How the machine stands"
    ABOUT = (
        "How the machine stands",
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
        width = max(40, self.app.size.width - 8)
        rows = [standing_line(s, width) for s in standings(self._controller.rules, self._controller.state)]
        if asked := asked_for(self._controller.flow, self._controller.state, WHOLE):
            rows = [*labelled("Asked now:", asked, width), Content(""), *rows]
        self.query_one("#stands-text", Static).update(Content("\n").join(rows))
        self.query_one(VerticalScroll).focus()


def standing_line(standing: Standing, width: int) -> Content:
    """'Supply: plug out, in hand or bag        09:14 Power off and on'; what isn't sure is said to be open."""
    since = labels.hour(standing.at)
    told = " ".join(x for x in (since, standing.by or standing.widened) if x)
    room = max(20, width - 30)
    left = cut(f"{standing.says}: {standing.words}", room)
    line = Content(f"{left:<{room}} {cut(told, 28)}")
    return line if standing.sure else line.stylize("$warning")
