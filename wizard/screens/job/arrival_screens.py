"""At the door: what machine it is, a fact a screen, and the complaint in the customer's own words."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.widgets import Input, Static

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Fact
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.columns import stack
from wizard.screens.text.shared_sentences import ABOUT_COMPLAINT, ABOUT_FACTS
from wizard.screens.text.step_text import wrap
from wizard.screens.viewmodels.arrival_words import (
    ASK_COMPLAINT,
    THE_COMPLAINT,
    THE_MACHINE,
    fact_before,
    fact_place,
    facts_so_far,
    such_as,
)
from wizard.screens.viewmodels.step.answer_rows import AnswerRow
from wizard.screens.widgets.entry.answer_list import answer_lines
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.entry.text_area import Words


class FactScreen(JobScreen):
    """One fact of the machine: answers on digits, or a line to type."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("digits", at_once=True)
    ABOUT = (
        "What machine it is",
        f"{ABOUT_FACTS} u (or F3) goes back to the fact before.",
    )

    def __init__(self) -> None:
        super().__init__()
        self._asked = self._sent = ""

    def body(self) -> ComposeResult:
        """The question, its answers or its field, what was said before."""
        with Horizontal(id="columns"):
            yield Static(id="words")
            yield Static(id="told")
        yield EntryField(id="field")

    @property
    def fact(self) -> Fact:
        """The fact asked now."""
        fact = self.controller.flow.fact(self.controller.scene.target)
        assert fact is not None
        return fact

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Arrival, and which of the facts that are asked of this machine it is."""
        place = fact_place(self.controller.view, self.fact)
        return THE_MACHINE, (place, time_so_far(self.host)), self.controller.flow.title

    def here(self) -> tuple[str, ...]:
        """Digits or Enter, and back."""
        return (f"digits:{len(self.fact.values)}" if self.fact.values else "go", "undo")

    def everywhere(self) -> tuple[str, ...]:
        """No map, no step to correct yet."""
        return ("help", "note", "theme", "leave")

    def project(self) -> None:
        """Show the fact that is asked now."""
        fact, room = self.fact, self.room
        rows = [AnswerRow(str(n), v.says, stops=bool(v.stop)) for n, v in enumerate(fact.values, start=1)]
        wide = room.columns - (44 if room.wide else 0)
        hint = [] if fact.values else wrap(_HINT[fact.required], wide, "$faint")
        lines = stack(wrap(fact.ask, wide, "bold"), answer_lines(rows, wide, airy=True), hint)
        self.query_one("#words", Static).update(Content("\n").join(lines))
        words = self.query_one("#told", Static)
        words.display = room.wide
        words.update(Content("\n").join(self.words()))
        field = self.query_one(EntryField)
        field.display = not fact.values
        if fact.values:
            self.set_focus(None)
        elif fact.id != self._asked:
            self._asked = fact.id
            field.spend(self._sent, self.controller.state.facts.get(fact.id, ""))
            self._sent = ""
            field.focus()

    def words(self) -> list[Content]:
        """What was said of the machine so far."""
        return [Content.styled("So far", "$faint"), *map(Content, facts_so_far(self.controller.view))]

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self.query_one(EntryField).value

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Digits are text where a line is typed."""
        return bool(self.fact.values) if action == "digit" else super().check_action(action, parameters)

    def action_digit(self, digit: int) -> None:
        """Take the value with this digit."""
        fact = self.fact
        if digit > len(fact.values):
            self.host.say(key_table.wrong_digit(digit, self.here()))
        else:
            self.host.act(cmd.SetFact(fact.id, fact.values[digit - 1].id))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what was typed."""
        self._sent = event.value
        self.host.act(cmd.SetFact(self.fact.id, event.value))

    def action_job(self, name: str) -> None:
        """Undo goes back to the fact before this one; from the first one to what was asked before it."""
        if name != key_table.UNDO:
            super().action_job(name)
            return
        before = fact_before(self.controller.view, self.fact.id)
        if before:
            self.host.go(MapPlace(SceneKind.FACT, before))
        else:
            super().action_job(name)


_HINT = {True: "Type it and press Enter.", False: "Type it and press Enter. Enter alone leaves it open."}


class ComplaintScreen(JobScreen):
    """The customer's own words."""

    ABOUT = (
        "What the customer says",
        ABOUT_COMPLAINT,
    )

    def body(self) -> ComposeResult:
        """What is asked, and a field of several lines."""
        yield Static(id="words")
        yield Words(id="field")

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Arrival."""
        return (
            THE_COMPLAINT,
            ("in the customer's own words", time_so_far(self.host)),
            self.controller.flow.title,
        )

    def here(self) -> tuple[str, ...]:
        """Enter and back."""
        return ("go", "undo")

    def everywhere(self) -> tuple[str, ...]:
        """No map yet."""
        return ("help", "note", "theme", "leave")

    def project(self) -> None:
        """Ask, with the field ready."""
        ask = wrap(ASK_COMPLAINT, self.room.columns, "bold")
        more = wrap(such_as(self.controller.view), self.room.columns)
        self.query_one("#words", Static).update(Content("\n").join(stack(ask, more, [Content("")])))
        self.query_one(Words).focus()

    @property
    def typed(self) -> str:
        """What stands in the field."""
        return self.query_one(Words).text

    def on_words_given(self, event: Words.Given) -> None:
        """Take the words."""
        self.host.act(cmd.SetComplaint(event.text))

    def action_job(self, name: str) -> None:
        """Undo goes back to the last fact."""
        if name != key_table.UNDO:
            super().action_job(name)
            return
        if before := fact_before(self.controller.view, ""):
            self.host.go(MapPlace(SceneKind.FACT, before))
