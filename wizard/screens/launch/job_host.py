"""What beginning a job asks of the program beside what its screens do."""

from __future__ import annotations

from typing import Protocol

from wizard.screens.layout.app_protocol import Host
from wizard.sessions.session_handle import Opened


class JobHost(Host, Protocol):
    """The program as whoever opens a session sees it."""

    def take(self, opened: Opened) -> None:
        """Put an opened session before a controller and show it."""
        ...
