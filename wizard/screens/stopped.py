"""Work is stopped: whom to call, how to leave the machine safe line by line, and closing by a typed word."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.engine import derive
from wizard.flow.model import Stop
from wizard.screens import keys
from wizard.screens.asks import AskReason, AskWord, ask_yes
from wizard.screens.fit import stack
from wizard.screens.handing import hand_over
from wizard.screens.jobscreen import JobScreen
from wizard.screens.prose import labelled, wrap
from wizard.screens.widgets.answers import Row, answer_lines, pointer


class StoppedScreen(JobScreen, inherit_bindings=False):
    """Make it safe, then close."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("go", "unable", "note", "photo", "visit", "close")
    ABOUT = (
        "Work is stopped",
        "Call whom the screen names. Do each line and press Enter; what can't be done is left with F4 and a reason. "
        "When all are dealt with, close the job, or begin a new visit once the cause is mended.",
    )

    def body(self) -> ComposeResult:
        """Reason, whom to call, the lines."""
        yield Static(id="words")

    @property
    def stop(self) -> Stop | None:
        """The reason of the flow; None when this flow no longer has it."""
        halt = self.desk.state.halt
        return self.desk.flow.stops.get(halt.stop) if halt else None

    @property
    def line(self) -> int | None:
        """The first line not dealt with, or None when all are."""
        stop, halt = self.stop, self.desk.state.halt
        if stop is None or halt is None:
            return None
        return next((n for n in range(len(stop.make_safe)) if n not in halt.done), None)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """Stopped, and why."""
        return "Work is stopped", (self.minutes,), self.desk.flow.title

    def here(self) -> tuple[str, ...]:
        """Enter and can't while lines are open; then close or come back."""
        return ("done", "unable") if self.line is not None else ("close", "visit")

    def everywhere(self) -> tuple[str, ...]:
        """Help, note, photo, theme, leave."""
        return ("help", "note", "photo", "theme", "leave")

    def show_keys(self) -> None:
        """No stop key: it is stopped."""
        from wizard.screens.widgets.keybar import KeyBar

        self.query_one(KeyBar).show(keys.shown(self.here()), keys.shown(self.everywhere()))

    def project(self) -> None:
        """Whom to call, and what is still to be made safe."""
        stop, halt, width = self.stop, self.desk.state.halt, self.room[0]
        if stop is None or halt is None:
            return
        rows = [self.row(n, text, width) for n, text in enumerate(stop.make_safe)]
        last = [Row("c", "Close the job"), Row("v", "The cause is mended: begin a new visit")]
        blocks = [
            wrap(stop.says, width, "bold $error"),
            labelled("Call:", stop.call, width),
            [Content.styled("Leave it safe:", "bold $primary"), *[line for row in rows for line in row]],
            answer_lines([Row("Enter", "Done: the marked line")] if self.line is not None else last, width),
            self.barred(width),
        ]
        self.query_one("#words", Static).update(Content("\n").join(stack(*blocks)))

    def row(self, number: int, text: str, width: int) -> list[Content]:
        """One line with its mark: done, could not be, or to do."""
        halt = self.desk.state.halt
        assert halt is not None
        reason = halt.done.get(number)
        mark = "[ ]" if reason is None else "[x]" if not reason else "[-]"
        more = f" (not done: {reason})" if reason else ""
        lines = wrap(f"{mark} {text}{more}", width - 2, "bold" if number == self.line else "")
        return [
            Content(pointer(number == self.line) if n == 0 else "      ").append(x)
            for n, x in enumerate(lines)
        ]

    def barred(self, width: int) -> list[Content]:
        """What stays forbidden until it is mended."""
        flow = self.desk.flow
        says = [flow.bars[b].says for b in derive.bars(self.desk.state) if b in flow.bars]
        return [line for s in says for line in labelled("Stands:", s, width)]

    def action_go(self) -> None:
        """The marked line is done."""
        line = self.line
        if line is not None and not self.host.guard.early():
            self.host.act(cmd.MakeSafe(line))

    def action_unable(self) -> None:
        """The marked line can't be done: ask why."""
        line, stop = self.line, self.stop
        if line is not None and stop is not None:
            ask = AskReason("Why can't it be done?", stop.make_safe[line])
            self.host.ask(ask, lambda why: self.host.act(cmd.MakeSafe(line, why)))

    def action_close(self) -> None:
        """Close the job, with a typed word."""
        if self.line is not None:
            self.host.say("First deal with every line: done, or F4 and why not.")
            return
        says = "The job ends as stopped. A new visit can take it up again."
        self.host.ask(AskWord("Close the stopped job", says, "CLOSE"), self._close)

    def _close(self, sure: bool) -> None:
        """Write the customer's summary, with its warning, and close."""
        if sure and hand_over(self.host) is not None:
            self.host.act(cmd.Close())

    def action_visit(self) -> None:
        """Take the job up again."""
        visit = self.desk.state.visit
        name = visit.technician if visit else ""
        says = "Every gate is asked again, and what was barred stays barred until it is lifted."
        ask = ask_yes("Begin a new visit?", says, "The cause is mended: begin", "Not yet")
        self.host.ask(ask, lambda yes: self.host.act(cmd.BeginVisit(name)) if yes == "yes" else None)
