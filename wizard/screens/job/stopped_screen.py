"""Work is stopped: whom to call, how to leave the machine safe line by line, who clears it, and closing."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine.messages import commands as cmd
from wizard.engine.state import queries, stopped
from wizard.engine.state.job_state import Stoppage
from wizard.engine.state.machine_view import NOT_KNOWN, standings
from wizard.screens.dialogs.prompts import AskReason, AskText, AskWord, PickReason
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.job.handover_files import hand_over
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen, time_so_far
from wizard.screens.text.columns import stack
from wizard.screens.text.reason_choices import NOT_MADE_SAFE
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.viewmodels.job_map.make_safe_lines import StopLine, stop_lines
from wizard.screens.widgets.entry.answer_list import AnswerRow, answer_lines, pointer


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
        "wrong key or a number misread is taken back with u: both stay in the record, and all is asked anew.",
    )

    def body(self) -> ComposeResult:
        """Reason, whom to call, the lines."""
        yield Static(id="words")

    @property
    def stoppage(self) -> Stoppage | None:
        """The stop that is dealt with now: the gravest."""
        return stopped.dealt_with(self.controller.view)

    @property
    def lines(self) -> tuple[StopLine, ...]:
        """The make-safe lines of the stop that is dealt with."""
        return stop_lines(self.controller.flow, self.stoppage)

    @property
    def line(self) -> StopLine | None:
        """The first line not dealt with, or None when all are."""
        return next((line for line in self.lines if line.open), None)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Stopped, and why."""
        return "Work is stopped", (time_so_far(self.host),), self.controller.flow.title

    def here(self) -> tuple[str, ...]:
        """Enter and can't while lines are open; then close, clear it, or come back."""
        if self.line is not None:
            return ("done", "unable", "slip")
        return ("close", "clear", "visit", "slip") if self.latched else ("close", "visit", "slip")

    @property
    def latched(self) -> tuple[str, ...]:
        """The conditions that the stops latched and nobody cleared."""
        return queries.latched(self.controller.view)

    def everywhere(self) -> tuple[str, ...]:
        """Help, note, photo, how it stands, theme, leave."""
        return ("help", "note", "photo", "stands", "theme", "leave")

    def project(self) -> None:
        """Whom to call, and what is still to be made safe."""
        halt, width = self.stoppage, self.room.columns
        stop = self.controller.flow.stops.get(halt.stop) if halt is not None else None
        if stop is None:
            return
        safe = [row for line in self.lines for row in self._row(line, width)]
        blocks = [
            wrap(stop.says, width, "bold $error"),
            self._others(width),
            self._stands(width),
            labelled("Call:", stop.call, width),
            [Content.styled("Leave it safe:", "bold $primary"), *safe],
            answer_lines(
                [AnswerRow("Enter", "Done: the marked line")] if self.line is not None else self._last(),
                width,
            ),
            self._as_it_is(width),
        ]
        self.query_one("#words", Static).update(Content("\n").join(stack(*blocks)))

    def _last(self) -> list[AnswerRow]:
        over = any(not stopped.kept_by(self.controller.view, c) for c in self.latched)
        clear = [AnswerRow("r", "It is over: say who clears it, and what was done")] if over else []
        return [AnswerRow("c", "Close the job"), *clear, AnswerRow("v", "Come back to it on a new visit")]

    def _others(self, width: int) -> list[Content]:
        """The other reasons of this visit that stand, in a line each."""
        view = self.controller.view
        others = [
            h for h in stopped.gravest_first(view) if h is not self.stoppage and stopped.stands(view, h)
        ]
        says = [view.flow.stops[h.stop].says for h in others if h.stop in view.flow.stops]
        return [line for reason in says for line in labelled("Stopped too:", reason, width)]

    def _row(self, line: StopLine, width: int) -> list[Content]:
        """One line with its mark: done, could not be, or to do."""
        marked = line == self.line
        lines = wrap(line.text, width - 2, "bold" if marked else "")
        return [Content(pointer(marked) if n == 0 else "      ").append(x) for n, x in enumerate(lines)]

    def _stands(self, width: int) -> list[Content]:
        """What stays stopped until somebody clears it."""
        says = [self.controller.flow.conditions[c].says for c in self.latched]
        return labelled("Not cleared:", ", ".join(says), width) if says else []

    def _as_it_is(self, width: int) -> list[Content]:
        """What the record has otherwise than a machine is left out of use: covers, wedge, water, power."""
        view, known = self.controller.view, {s.condition: s for s in standings(self.controller.view)}
        left = [known[c] for c in queries.not_left_safe(view) if c not in self.latched]
        rows = [f"{s.says}: {s.words}" for s in left if s.words != NOT_KNOWN]
        return labelled("As it stands:", "; ".join(rows), width) if rows else []

    def action_slip(self) -> None:
        """The last stop came of a slip: ask what is so."""
        says = (
            "What was pressed or read by mistake, and what is so? The stop and your words stay in the record. "
            "Everything is asked anew, this question too."
        )
        last = self.controller.flow.stops.get(self.controller.state.stops[-1].stop)
        title = f"Take the stop back: {last.says}" if last else "Take the stop back"
        self.host.ask(AskReason(title, says), lambda why: self.host.act(cmd.WithdrawStop(why)))

    def action_go(self) -> None:
        """The marked line is done."""
        line = self.line
        if line is not None:
            self.host.act(cmd.MakeSafe(line.stop, line.number))

    def action_unable(self) -> None:
        """The marked line can't be done: ask why."""
        line = self.line
        if line is not None:
            ask = PickReason("Why can't it be done?", line.says, NOT_MADE_SAFE)
            self.host.ask(ask, lambda why: self.host.act(cmd.MakeSafe(line.stop, line.number, why)))

    def action_clear(self) -> None:
        """Say who clears what is latched."""
        if self.line is not None:
            self.host.say("First deal with every line: done, or x and why not.")
        elif self.latched:
            ask_release(self.host, self.latched[0])
        else:
            self.host.say("Nothing is left to clear. v comes back to the job on a new visit.")

    def action_close(self) -> None:
        """Close the job, with a typed word."""
        if self.line is not None:
            self.host.say("First deal with every line: done, or x and why not.")
            return
        says = "The job ends as stopped. A new visit can resume it."
        self.host.ask(AskWord("Close the stopped job", says, "CLOSE"), self._close)

    def _close(self, sure: bool) -> None:
        """Write the customer's summary, with its warning, and close."""
        if sure and hand_over(self.host) is not None:
            self.host.act(cmd.Close())

    def action_visit(self) -> None:
        """Come back to the job: who comes is typed, so that no two keys begin a visit."""
        if self.line is not None:
            self.host.say("First deal with every line: done, or x and why not.")
            return
        says = "Who comes? Nothing is believed of the machine, and what was not cleared stays stopped."
        self.host.ask(AskText("A new visit", says), lambda name: self.host.act(cmd.BeginVisit(name)))
