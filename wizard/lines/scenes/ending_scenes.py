"""How a visit ends, by lines: the handover with its paper, and work that is stopped."""

from __future__ import annotations

from wizard.documents.files.paper_files import Papers
from wizard.documents.papers.job_header import result_words
from wizard.engine.handlers import visit_end
from wizard.engine.messages import commands as cmd
from wizard.engine.queries.stopped import was_acted_on
from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.paper_rows import paper_rows
from wizard.lines.terminal.typed_number import echoed, number_in
from wizard.screens.dialogs.release_prompts import ask_release
from wizard.screens.dialogs.visit_prompts import (
    FIRST_EACH_LINE,
    ask_close,
    ask_close_stopped,
    ask_not_made_safe,
    ask_return,
    ask_slip,
)
from wizard.screens.job.handover_files import (
    HANDOVER_ROWS,
    hand_over,
    handover_now,
)
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.text.shared_sentences import too_early_line
from wizard.screens.viewmodels.step.reading_time import words_seconds
from wizard.screens.viewmodels.stop_in_hand import StopInHand


class HandoverLines(LineScene):
    """Read it to the customer, write it, close."""

    ABOUT = (
        "This is what the customer gets. Read it with them. 1 writes it into the session's folder, with your full "
        "record, and a parts list where parts are on order. 2 closes the visit with a typed word; the papers are "
        "written again first if anything changed. What is still owed is said, and closing is refused until it is "
        "done."
    )

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._papers: Papers | None = None
        self._seq = self._read = -1

    @property
    def own(self) -> Own:
        """Back to the map."""
        return {LineWord.MAP: lambda _text: self.host.go(MapPlace()), LineWord.UNDO: self.take_back}

    @property
    def prompt(self) -> str:
        """Two numbers."""
        return "Answer, 1 or 2"

    def show(self) -> None:
        """The summary as it stands now, once; and what can be done."""
        view = self.controller.view
        self.head("Handover", result_words(view))
        written = self._papers is not None and self._seq == view.state.seq
        if not written or (self.host.whole and self._read < 0):
            self.host.talk.rows(paper_rows(handover_now(self.host)))
            self._read = view.state.seq
        if written and self._papers is not None:
            self.say(f"Written: {', '.join(self._papers.names)} in {self.controller.opened.folder}")
        if words := visit_end.unclosed(view):
            self.say(f"Not yet: {words}")
        for n, says in enumerate(HANDOVER_ROWS, start=1):
            self.say(says, f"{n}: ")

    def take(self, text: str) -> None:
        """1 writes, 2 closes."""
        match number_in(text, len(HANDOVER_ROWS)):
            case 1:
                self._write()
            case 2:
                self._finish()
            case _:
                self.say(f"There is no {echoed(text)} here: type 1 or 2.")

    def _write(self) -> None:
        done = hand_over(self.host)
        if done is not None:
            self._papers, self._seq = done, self.controller.state.seq

    def _finish(self) -> None:
        """Close the visit: papers first, then the typed word."""
        if words := visit_end.unclosed(self.controller.view):
            self.say(words)
            return
        if self._seq != self.controller.state.seq:
            self._write()
        if self._seq == self.controller.state.seq:
            ask_close(self.host)


class StoppedLines(LineScene):
    """Make it safe, line by line, then close; a graver reason may be added meanwhile."""

    ABOUT = (
        "Call whom it names. Do each line and press Enter; what can't be done is left with x and a reason. s adds "
        "another reason, should a graver one show. When all lines are dealt with, close the job. The stop stands "
        "until somebody clears it (r): who, and what was done. A wrong answer or a number misread is taken back with "
        "u, before any line is dealt with: both stay in the record, and all is asked anew."
    )
    also = (
        LineWord.NOTE,
        LineWord.PHOTO,
        LineWord.STANDS,
        LineWord.STOP,
        LineWord.AGAIN,
        LineWord.HELP,
        LineWord.LEAVE,
    )

    @property
    def stop(self) -> StopInHand:
        """The stop that is dealt with now, and what of it is open."""
        return StopInHand(self.controller.view)

    @property
    def own(self) -> Own:
        """Can't while lines are open; then close, clear it, or come back; a slip as long as nothing was done."""
        stop, own = self.stop, {}
        if stop.line is not None:
            own[LineWord.UNABLE] = lambda _text: (
                ask_not_made_safe(self.host, stop.line) if stop.line else None
            )
        own |= {LineWord.CLOSE: self._close, LineWord.CLEAR: self._clear, LineWord.VISIT: self._visit}
        if not was_acted_on(self.controller.state.stops[-1]):
            own[LineWord.SLIP] = lambda _text: ask_slip(self.host)
        return own

    @property
    def prompt(self) -> str:
        """Enter for the line on hand, or the letters of what is left."""
        stop = self.stop
        if stop.line is not None:
            return "Enter when this line is done, x if it can't be"
        return f"{', '.join(key for key, _says in stop.rows)}"

    def show(self) -> None:
        """The reason, whom to call, the lines and the one on hand."""
        stop = self.stop
        self.head("Work is stopped")
        known = self.controller.flow.stops.get(stop.stoppage.stop) if stop.stoppage else None
        if known is not None:
            self.say(known.says)
            self.host.talk.rows(f"Stopped too: {reason}" for reason in stop.others)
            if stop.uncleared:
                self.say(f"Not cleared: {', '.join(stop.uncleared)}")
            self.say(f"Call: {known.call}")
        if stop.as_it_stands:
            self.say(f"As it stands: {'; '.join(stop.as_it_stands)}")
        for line in stop.lines if stop.line is None or self.host.whole else ():
            self.say(f"{'To do' if line.open else 'Dealt with'}: {line.text[4:]}")
        if stop.line is not None:
            self.host.guard.ask((stop.line.stop, stop.line.number), words_seconds(stop.line.says))
            self.say(f"Leave it safe. Line {stop.line.number + 1} of {len(stop.lines)}: {stop.line.says}")
        else:
            for key, says in stop.rows:
                self.say(says, f"{key}: ")

    def take(self, text: str) -> None:
        """The line on hand is done."""
        line, unread = self.stop.line, self.host.guard.unread
        if text or line is None:
            ways = (
                "Enter when the line is done, x if it can't be"
                if line
                else ", ".join(key for key, _ in self.stop.rows)
            )
            self.say(f"There is no {echoed(text)} here: {ways}.")
        elif unread:
            self.say(too_early_line(unread))
        else:
            self.host.act(cmd.MakeSafe(line.stop, line.number))

    def _first(self) -> bool:
        if self.stop.line is not None:
            self.say(FIRST_EACH_LINE)
        return self.stop.line is not None

    def _close(self, _text: str) -> None:
        def close() -> None:
            if hand_over(self.host) is not None:
                self.host.act(cmd.Close())

        if not self._first():
            ask_close_stopped(self.host, close)

    def _clear(self, _text: str) -> None:
        if self._first():
            return
        if self.stop.over:
            ask_release(self.host, self.stop.over)
        else:
            self.say(self.stop.kept)

    def _visit(self, _text: str) -> None:
        if not self._first():
            ask_return(self.host)
