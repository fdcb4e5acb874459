"""The job map: every inspection and how it stands, and what comes next."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.screens import keys
from wizard.screens.jobscreen import JobScreen
from wizard.screens.scene import Place
from wizard.screens.widgets.picklist import PickList

PLACES = {"decide": "decision", "repair": "mending", "close": "handover"}


class JobMapScreen(JobScreen):
    """A list of inspections; Enter opens the marked one."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("decide")
    HERE = ("go", "undo", "decide")
    ABOUT = (
        "The job map",
        "Enter opens the marked line. The mark stands on what comes next in the flow's order.",
    )

    def body(self) -> ComposeResult:
        """The list."""
        yield PickList(id="list")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The job, and what comes next."""
        return self.desk.flow.title, (f"next: {self.coming.why}", self.minutes), ""

    @property
    def coming(self) -> derive.NextUp:
        """What the flow would do next."""
        return derive.next_up(self.desk.flow, self.desk.state)

    def project(self) -> None:
        """The inspections, then the way on."""
        flow, state = self.desk.flow, self.desk.state
        self.ids = [i for i, x in flow.inspections.items() if not x.gate and derive.applies(flow, state, x)]
        rows = [Content(f"{flow.inspections[i].title:<30} {derive.result(state, i)}") for i in self.ids]
        rows.append(Content(f"Go on: {self.coming.kind} {self.coming.target}"))
        wanted = self.ids.index(self.coming.target) if self.coming.target in self.ids else len(self.ids)
        pick = self.query_one(PickList)
        pick.show(rows, wanted)
        pick.focus()

    def on_pick_list_picked(self, event: PickList.Picked) -> None:
        """Open it, or go on."""
        if self.host.guard.early():
            return
        if event.index < len(self.ids):
            self.host.act(cmd.Open(self.ids[event.index]))
        elif self.coming.kind == "recheck":
            inspection, _, step = self.coming.target.partition(".")
            self.host.act(cmd.Open(inspection, step))
        elif self.coming.kind in PLACES:
            self.host.go(Place(PLACES[self.coming.kind], self.coming.target))

    def action_decide(self) -> None:
        """To the decision."""
        self.host.go(Place("decision"))
