"""Work is stopped: whom to call, how to leave the machine safe line by line, who clears it, and closing."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.engine.queries.stopped import was_acted_on
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.dialogs.visit_prompts import (
    FIRST_EACH_LINE,
    ask_close_stopped,
    ask_not_made_safe,
    ask_return,
    ask_slip,
)
from wizard.screens.job.handover_files import hand_over
from wizard.screens.job.stopped_lines import stopped_lines
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.text.shared_sentences import too_early_line
from wizard.screens.viewmodels.step.reading_time import words_seconds
from wizard.screens.viewmodels.stop_in_hand import StopInHand


class StoppedScreen(JobScreen, inherit_bindings=False):
    """Make it safe, then close; a graver reason may be added meanwhile."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings(
        "go", "unable", "slip", "note", "photo", "stop", "stands", "clear", "visit", "close"
    )
    ABOUT: ClassVar[tuple[str, str]] = (
        "Work is stopped",
        "Call whom the screen names. Do each line and press Enter; what can't be done is left with F4 and a reason. "
        "s adds another reason, should a graver one show. When all lines are dealt with, close the job. The stop "
        "stands until somebody clears it (r): who, and what was done. It is then looked at anew before any work. A "
        "wrong key or a number misread is taken back with u, before any line is dealt with: both stay in the record, "
        "and all is asked anew.",
    )

    def body(self) -> ComposeResult:
        """Reason, whom to call, the lines."""
        yield Static(id="words")

    @property
    def stop(self) -> StopInHand:
        """The stop that is dealt with now, and what of it is open."""
        return StopInHand(self.controller.view)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Stopped, and why."""
        return "Work is stopped", (time_so_far(self.host),), self.controller.flow.title

    def here(self) -> tuple[str, ...]:
        """Enter and can't while lines are open; then close, clear it, or come back."""
        slip = () if was_acted_on(self.controller.state.stops[-1]) else ("slip",)
        if self.stop.line is not None:
            return ("done", "unable", *slip)
        return ("close", "clear", "visit", *slip) if self.stop.over else ("close", "visit", *slip)

    def everywhere(self) -> tuple[str, ...]:
        """Help, note, photo, how it stands, theme, leave."""
        return ("help", "note", "photo", "stands", "theme", "leave")

    def project(self) -> None:
        """Whom to call, and what is still to be made safe."""
        line = self.stop.line
        if line is not None:  # Keys that were meant for the step before mark no line as done.
            self.host.guard.ask((line.stop, line.number), words_seconds(line.says))
        lines = stopped_lines(self.stop, self.room.columns)
        if lines:
            self.query_one("#words", Static).update(Content("\n").join(lines))

    def action_slip(self) -> None:
        """The last stop was a slip: ask what is so; not where it was acted on."""
        ask_slip(self.host)

    def action_go(self) -> None:
        """The marked line is done."""
        line, unread = self.stop.line, self.host.guard.unread
        if line is not None and unread:
            self.host.say(too_early_line(unread))
        elif line is not None:
            self.host.act(cmd.MakeSafe(line.stop, line.number))

    def action_unable(self) -> None:
        """The marked line can't be done: ask why."""
        line = self.stop.line
        if line is not None:
            ask_not_made_safe(self.host, line)

    def action_clear(self) -> None:
        """Say who clears what is latched."""
        if self.stop.line is not None:
            self.host.say(FIRST_EACH_LINE)
        elif self.stop.over:
            ask_release(self.host, self.stop.over)
        else:
            self.host.say(self.stop.kept)

    def action_close(self) -> None:
        """Close the job, with a typed word."""
        if self.stop.line is not None:
            self.host.say(FIRST_EACH_LINE)
            return
        ask_close_stopped(self.host, self._close)

    def _close(self) -> None:
        """Write the customer's summary, with its warning, and close."""
        if hand_over(self.host) is not None:
            self.host.act(cmd.Close())

    def action_visit(self) -> None:
        """Come back to the job: who comes is typed, so that no two keys begin a visit."""
        if self.stop.line is not None:
            self.host.say(FIRST_EACH_LINE)
            return
        ask_return(self.host)
