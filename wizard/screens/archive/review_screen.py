"""A replay that lies over the archive: Esc goes back to the list."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import BindingType

from wizard.screens.layout import key_table
from wizard.screens.replay.replay_screen import ReplayScreen


class ReviewScreen(ReplayScreen):
    """The replay, with a way back."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("back")
    EVERYWHERE = ("back", *ReplayScreen.EVERYWHERE)

    def everywhere(self) -> tuple[str, ...]:
        """The keys that help explains beside those of the replay."""
        return self.EVERYWHERE

    def action_back(self) -> None:
        """To the list."""
        self.keys.playback.stoppage()
        self.dismiss()
