"""What is asked at the desk: words to look for, which way to a step, who approves, under which name a job is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any, cast

from wizard.errors import SteadfootError
from wizard.flow.diagrams.tree import tree
from wizard.flowcheck.approval.approval_file import usable_name, usable_reason
from wizard.flowcheck.approval.approving import approve
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.desk.flow_reading import FlowReading
from wizard.flowcheck.desk.step_route import StepRoute
from wizard.screens.desk.desk_view import CaseRow, StepRow
from wizard.screens.desk.lines_panel import LinesPanel
from wizard.screens.dialogs.prompts import AskName, AskOne, AskText
from wizard.screens.text.charset import plain
from wizard.screens.widgets.entry.picklist import PickList

if TYPE_CHECKING:
    from wizard.screens.desk.desk_app import DeskApp
    from wizard.screens.desk.desk_screen import DeskScreen

WIDTH = 76
"""Columns of what is shown in a panel."""


class DeskPrompts:
    """Asks for a desk, and does what was answered."""

    def __init__(self, screen: DeskScreen) -> None:
        self._screen = screen

    def search(self) -> None:
        """Only the rows in which some words are found."""
        ask = AskText("Only rows with these words", "", self._screen.view.words, empty=True)
        self._ask(ask, lambda text: self._screen.change(replace(self._screen.view, words=text)))

    def route(self, found: tuple[StepRoute, ...], then: Callable[[StepRoute], None]) -> None:
        """By which case one comes to a step: not asked where there is one."""
        if len(found) == 1:
            then(found[0])
            return
        choices = [(route.case.id, _machine(route)) for route in found]
        by_id = {route.case.id: route for route in found}
        ask = AskOne("On which machine, and how it came there", "", choices)
        self._ask(ask, lambda name: then(by_id[name]))

    def try_step(self, row: StepRow) -> None:
        """Open a step by one of the cases that come to it."""
        screen, reading = self._screen, self._screen.view.usable

        def routed(found: tuple[StepRoute, ...]) -> None:
            none = f"No case comes to {row.ref}. Write one that does, or try a step before it."
            screen.say("" if found else none)
            if found and reading is not None and screen.app.screen is screen:
                self.route(found, lambda route: self._program.open_at(reading, route))

        if reading is not None:
            screen.say(f"Looking for a case that comes to {row.ref} ...")
            screen.work.find(reading, row.ref, routed)

    def path(self, row: CaseRow) -> None:
        """Every step that a case went through, with what was answered."""
        if row.played is None:
            self._screen.say("It was not played yet: c plays all cases.")
            return
        passed = [f"{one.step!s:<28} {one.text}" for one in row.played.path]
        self._lay(LinesPanel(f"{row.case.id}: {row.played.outcome}", passed))

    def picture(self) -> None:
        """The inspection of the marked step as a tree."""
        view, index = self._screen.view, self._screen.query_one(PickList).index
        row = view.rows[index] if index < len(view.rows) else None
        if isinstance(row, StepRow) and view.flow is not None:
            lines = tree(view.flow, row.inspection, WIDTH, plain(), view.covered())
            self._lay(LinesPanel(row.inspection.title, lines))

    def approve(self) -> None:
        """Have somebody answer for what the flow claims, as it is shown."""
        reading = self._screen.view.reading
        if says := self._program.unapprovable or reading.unapprovable:
            self._screen.say(says)
            return
        count = len(reading.differing)
        what = f"Differences from what was approved: {count}" if count else "All it claims"

        def named(by: str) -> None:
            ask = AskText("Why is it approved?", "In words.")
            self._ask(ask, lambda reason: self._approved(reading, by, reason))

        self._ask(AskName("Who answers for it?", f"{what}. Type a name."), named)

    def _approved(self, reading: FlowReading, by: str, reason: str) -> None:
        """Write it, if the flow is still the one that was shown."""
        if reading.flow is None or self._screen.view.reading is not reading:
            self._screen.say("It was read anew meanwhile. Look at what differs now, then approve that.")
            return
        try:
            path = approve(
                reading.folder, reading.flow, usable_name(by), usable_reason(reason),
                claims(reading.flow), self._program.clock.wall(),
            )  # fmt: skip
        except SteadfootError as problem:
            self._screen.say(str(problem))
            return
        self._screen.say(f"{path.name}: approved by {by}.")
        self._screen.read()

    def keep(self) -> None:
        """Keep the job that was tried last as a case of the flow."""
        tried = self._program.tried
        if tried is None:
            self._screen.say("Nothing was tried yet: Enter on a step does.")
            return
        ask = AskText(
            "Keep it as a case", "The case's id: small letters, digits and hyphens.", tried.proposed
        )
        self._ask(ask, self._kept)

    def _kept(self, name: str) -> None:
        try:
            self._screen.say(self._program.keep(name, self._screen.view.reading))
        except SteadfootError as problem:
            self._screen.say(str(problem))

    @property
    def _program(self) -> DeskApp:
        return cast("DeskApp", self._screen.app)

    def _ask(self, panel: Any, then: Callable[[Any], None]) -> None:
        self._screen.app.push_screen(panel, lambda answer: None if answer is None else then(answer))

    def _lay(self, panel: Any) -> None:
        self._screen.app.push_screen(panel)


def _machine(route: StepRoute) -> str:
    """A case in words: what it shows, and its machine."""
    facts = ", ".join(f"{fact} {value}" for fact, value in route.case.facts.items())
    return f"{route.case.id}: {route.case.says}" + (f" ({facts})" if facts else "")
