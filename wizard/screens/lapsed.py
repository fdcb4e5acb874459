"""The gate no longer counts: what was last known, why it ended, and that it is asked again."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.screens import keys, words
from wizard.screens.fit import stack
from wizard.screens.jobscreen import JobScreen
from wizard.screens.prose import labelled, wrap


class LapsedScreen(JobScreen):
    """Says what stood before; Enter goes on through the gate."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("go", at_once=True)
    HERE = ("go", "undo")
    ABOUT = (
        "Asked again",
        "A gate counts only while you are at the machine. After a restart, a break, a correction or a long silence "
        "nobody can know what was plugged in since, so it is gone through again from its start.",
    )

    def body(self) -> ComposeResult:
        """A few sentences."""
        yield Static(id="words")

    def project(self) -> None:
        """What was known, why it ended, what was typed and kept."""
        state, width = self.desk.state, self.room[0]
        known = words.known(state)
        was = f"{known}: asked again now." if known else "The machine is not isolated."
        run = state.run
        assert run is not None
        title = self.desk.flow.inspections[run.inspection].title
        draft = self.desk.draft(run.id, run.at)
        blocks = [
            wrap(was, width, "bold $warning"),
            wrap(self.why(), width),
            wrap(f"{title} goes on where it was, once the gate is passed again.", width),
            labelled("Kept, not yet taken:", draft, width) if draft else [],
            [Content.styled(" Enter ", "bold $key on $key-ground").append("  To the gate")],
        ]
        self.query_one("#words", Static).update(Content("\n").join(stack(*blocks)))

    def why(self) -> str:
        """Why the last safety state ended."""
        gates = self.desk.state.gates
        return words.ENDED_BY.get(gates[-1].why, "") if gates else "It must be isolated for this."

    def action_go(self) -> None:
        """Into the gate."""
        if not self.host.guard.early():
            self.host.act(cmd.GoOn())
