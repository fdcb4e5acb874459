"""At the door, by lines: what machine it is, a fact a question, and the complaint in the customer's own words."""

from __future__ import annotations

from wizard.engine.messages import commands as cmd
from wizard.flow.model import Fact
from wizard.foreign.limits import LINE_LENGTH, TEXT_LENGTH
from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed, number_in, span
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.shared_sentences import ABOUT_COMPLAINT, ABOUT_FACTS
from wizard.screens.viewmodels.arrival_words import (
    ASK_COMPLAINT,
    THE_COMPLAINT,
    THE_MACHINE,
    fact_before,
    fact_place,
    such_as,
)

AT_THE_DOOR = (LineWord.NOTE, LineWord.STOP, LineWord.AGAIN, LineWord.HELP, LineWord.LEAVE)
"""What works before there is a map."""


class FactLines(LineScene):
    """One fact of the machine: answers by number, or a line to type."""

    ABOUT = ABOUT_FACTS

    also = AT_THE_DOOR

    def __init__(self, host: LineHost, fact: Fact) -> None:
        super().__init__(host)
        self._fact = fact
        self.words = not fact.values

    @property
    def _now(self) -> str:
        """What was typed for it before."""
        return self.controller.state.facts.get(self._fact.id, "") if self.words else ""

    @property
    def own(self) -> Own:
        """Back to the fact before; no map yet."""
        return {LineWord.UNDO: self._back}

    @property
    def prompt(self) -> str:
        """The numbers, or what Enter alone does."""
        if not self.words:
            return f"Answer, {span(len(self._fact.values))}"
        if self._now:
            return f"Text, Enter keeps {self._now}"
        return "Text" if self._fact.required else "Text, Enter leaves it open"

    def show(self) -> None:
        """The question, and its answers."""
        self.head(THE_MACHINE, fact_place(self.controller.view, self._fact))
        self.say(self._fact.ask)
        for n, value in enumerate(self._fact.values, start=1):
            self.say(value.says, f"{n}: {'stops work: ' if value.stop else ''}")

    def take(self, text: str) -> None:
        """Take the value with this number, or what was typed."""
        values = self._fact.values
        if self.words and len(text) > LINE_LENGTH:
            self.say(f"That is {len(text)} characters long; {LINE_LENGTH} are taken at most.")
        elif self.words:
            self.host.act(cmd.SetFact(self._fact.id, text or self._now))
        elif number := number_in(text, len(values)):
            self.host.act(cmd.SetFact(self._fact.id, values[number - 1].id))
        else:
            self.say(f"There is no {echoed(text)} here: type {span(len(values))}.")

    def _back(self, text: str) -> None:
        """To the fact before this one; from the first one to what was asked before it."""
        if before := fact_before(self.controller.view, self._fact.id):
            self.host.go(MapPlace(SceneKind.FACT, before))
        else:
            self.take_back(text)


class ComplaintLines(LineScene):
    """The customer's own words."""

    ABOUT = ABOUT_COMPLAINT
    words = True
    also = AT_THE_DOOR

    @property
    def own(self) -> Own:
        """Back to the last fact; no map yet."""
        return {LineWord.UNDO: self._back}

    @property
    def prompt(self) -> str:
        """Words are typed."""
        return "The customer's words"

    def show(self) -> None:
        """Ask."""
        self.head(THE_COMPLAINT)
        self.say(ASK_COMPLAINT)
        self.say(such_as(self.controller.view))

    def take(self, text: str) -> None:
        """Take the words."""
        if len(text) > TEXT_LENGTH:
            self.say(f"That is {len(text)} characters long; {TEXT_LENGTH} are taken at most.")
        else:
            self.host.act(cmd.SetComplaint(text))

    def _back(self, text: str) -> None:
        if before := fact_before(self.controller.view, ""):
            self.host.go(MapPlace(SceneKind.FACT, before))
        else:
            self.take_back(text)
