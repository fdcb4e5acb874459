"""What every scene of the line mode has: its words, its prompt, what a line does, and its own commands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import ClassVar

from wizard.engine.messages import commands as cmd
from wizard.lines.terminal.line_commands import EVERYWHERE, LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.screens.layout.controller import JobController
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.text.step_place import minutes_so_far

Own = Mapping[LineWord, Callable[[str], None]]


class LineScene:
    """The base. ``words``: text is typed, so a command needs its sign; ``numbers``: what is typed is kept if something
    is asked again before it is taken; ``also``: what works here of the commands that the whole job has.
    """

    ABOUT: ClassVar[str] = ""
    words = False
    numbers = False
    also: tuple[LineWord, ...] = EVERYWHERE

    def __init__(self, host: LineHost) -> None:
        self.host = host

    @property
    def controller(self) -> JobController:
        """The job."""
        return self.host.controller

    @property
    def own(self) -> Own:
        """The commands of this scene, each with what is typed behind it."""
        return {LineWord.MAP: self.to_map, LineWord.UNDO: self.take_back}

    @property
    def prompt(self) -> str:
        """What stands before the line that is typed."""
        return "Enter"

    def show(self) -> None:
        """Say the whole question."""

    def take(self, text: str) -> None:
        """Do what a line that is no command is for."""

    def say(self, text: str, lead: str = "") -> None:
        """Write a paragraph."""
        self.host.talk.say(text, lead)

    def head(self, title: str, *parts: str) -> None:
        """Where one is in the job, behind an empty line; then what the last act left to be said, and the machine."""
        self.host.talk.out.gap()
        minutes = minutes_so_far(self.controller.state, self.host.clock.wall())
        behind = ", ".join(x for x in (*parts, minutes) if x)
        self.say(f"{title}: {behind}." if behind else f"{title}.")
        self.host.say_notice()
        self.host.say_machine()

    def to_map(self, _text: str) -> None:
        """Leave for the job map, all of it. What was open or being made ready is left."""
        self.host.list_map = True
        if self.controller.state.run is not None or self.controller.state.goal:
            self.host.act(cmd.Leave())
        else:
            self.host.go(MapPlace())

    def take_back(self, _text: str) -> None:
        """Take the last answer or reading back."""
        self.host.act(cmd.Undo())
