"""What the keys do that work on every screen of a job: to the map, undo, a break, a panel."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from wizard.engine.messages import commands as cmd
from wizard.screens.layout.app_protocol import Host
from wizard.screens.layout.navigation import MapPlace


def leave_for_map(host: Host) -> None:
    """Go to the job map. What was open or being made ready is left."""
    if host.controller.state.run is not None or host.controller.state.goal:
        host.act(cmd.Leave())
    else:
        host.go(MapPlace())


def take_back(host: Host) -> None:
    """Take the last answer back."""
    host.act(cmd.Undo())


HANDLERS: Mapping[str, Callable[[Host], None]] = {"map": leave_for_map, "undo": take_back}
"""What is done at once, by the name in its key's action."""


def press(host: Host, name: str) -> None:
    """Do what the key with this name is for: one of ``HANDLERS``, else a panel or a question of ``screen_registry``."""
    handler = HANDLERS.get(name)
    if handler is not None:
        handler(host)
    else:
        host.panel(name)
