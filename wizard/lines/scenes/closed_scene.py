"""A closed visit by lines: how it ended, its papers, its seal, and coming back."""

from __future__ import annotations

from wizard.lines.scenes.line_scene import LineScene, Own
from wizard.lines.terminal.line_commands import LineWord
from wizard.lines.terminal.line_host import LineHost
from wizard.lines.terminal.typed_number import echoed
from wizard.screens.dialogs.visit_prompts import ask_visit
from wizard.screens.job.handover_files import seal_paper, write_report_of
from wizard.screens.text.shared_sentences import RECORD_SEAL
from wizard.screens.viewmodels.closed_job import WRITE_SEAL, ClosedJob


class ClosedLines(LineScene):
    """Nothing is changed here; v begins a new visit."""

    ABOUT = (
        "The seal stands on the last line of the customer's paper; on a copy printed before, write it by hand. With "
        "it anyone can show later that the record was not changed, nor anything cut off its end. v comes back to the "
        "same job on a new visit; r writes the report, one file that any browser shows and prints; q leaves."
    )
    also = (LineWord.NOTE, LineWord.FOUND, LineWord.AGAIN, LineWord.HELP, LineWord.LEAVE)

    def __init__(self, host: LineHost) -> None:
        super().__init__(host)
        self._sealed = False

    @property
    def own(self) -> Own:
        """Come back, write the report."""
        return {
            LineWord.VISIT: lambda _text: ask_visit(self.host),
            LineWord.REPORT: lambda _text: write_report_of(self.host),
        }

    @property
    def prompt(self) -> str:
        """The letters."""
        return "v, r, f or q"

    def show(self) -> None:
        """Outcome, warning, seal, files; nothing is known of the machine any more."""
        if not self._sealed:
            self._sealed = True
            seal_paper(self.host)
        state, closed = self.controller.state, ClosedJob(self.controller.opened)
        self.host.talk.out.gap()
        self.say(f"Job {state.session}, visit {state.visit.number if state.visit else 1}, closed.")
        self.say(f"{closed.result}.")
        self.host.talk.rows(closed.unproved)
        self.host.talk.rows((*([closed.use] if closed.use else []), *closed.forbidden, *closed.cleared))
        self.say(f"{RECORD_SEAL}: {closed.seal}. {WRITE_SEAL}")
        words, holds = closed.signature()
        if words:
            self.say(f"Signed by key: {words}" if holds else words)
        self.say(f"Papers: {closed.papers}. In: {self.controller.opened.folder}")
        self.say("v: come back on a new visit. r: write the report. f: what was found. q: leave.")

    def take(self, text: str) -> None:
        """There is nothing to answer."""
        self.say(f"There is no {echoed(text)} here: v, r, f or q.")
