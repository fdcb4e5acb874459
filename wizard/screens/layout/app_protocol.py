"""What screens may ask of the program. The app is one; screens and widgets know no more of it than this."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, cast

from textual.screen import Screen
from textual.widget import Widget

from wizard.measure.quantities.units import UnitSystem
from wizard.screens.layout.key_guard import Guard
from wizard.screens.layout.question_host import QuestionHost


class Host(QuestionHost, Protocol):
    """The program as a screen sees it."""

    guard: Guard
    system: UnitSystem
    """Which units are shown: metric or us."""

    def panel(self, name: str) -> None:
        """Lay a panel of ``screen_registry.PANELS`` over the screen; the command it ends with is carried out."""
        ...

    def ask(self, screen: Screen[Any], then: Callable[[Any], None]) -> None:
        """Lay a question over the screen; ``then`` gets its answer unless it was left without one."""
        ...

    def close_job(self) -> None:
        """Let go of the job and go back to the home screen."""
        ...

    def show(self) -> None:
        """Draw what the job's state asks for."""
        ...


class Hosted(Protocol):
    """A program with a host."""

    host: Host


def host(node: Widget) -> Host:
    """The program as a screen or widget on it sees it."""
    return cast(Hosted, node.app).host
