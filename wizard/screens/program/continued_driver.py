"""The terminal after a stop: a program that goes on sets it up once, and what it was set to before is kept.

Textual's driver is told of a stop by one signal alone, SIGTSTP; SIGSTOP can't be heard. Continued after that it would
set the terminal up a second time over the first: the end then gives back the inner of the two, and two threads read the
keys.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from textual.driver import Driver


def continued(kind: type[Driver]) -> type[Driver]:
    """The driver of this platform, made so."""

    class ContinuedDriver(kind):  # type: ignore[misc, valid-type]
        """Knows whether the terminal is set up."""

        set_up = going_on = False

        def start_application_mode(self) -> None:
            """Set the terminal up."""
            super().start_application_mode()
            self.set_up = True

        def stop_application_mode(self) -> None:
            """Give the terminal back."""
            self.set_up = False
            super().stop_application_mode()

        def _sigcont_application(self, *signalled: Any) -> None:
            """Go on after a stop. One that nobody was told of is made up for first. All is to be drawn anew."""
            if self.going_on:
                return  # The terminal was not ours yet, and stopped this very act.
            self.going_on = True
            try:
                if self.set_up:
                    self.suspend_application_mode()
                self._must_signal_resume = True
                super()._sigcont_application(*signalled)
            finally:
                self.going_on = False

    return ContinuedDriver
