"""A closed visit: how it ended, its papers, the last chain value to write down, and coming back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.engine import commands as cmd
from wizard.journal.block import grouped
from wizard.review.record import result_words
from wizard.review.standing import standing_bars
from wizard.screens import keys, papers
from wizard.screens.asks import AskText
from wizard.screens.fit import stack
from wizard.screens.handing import seal_paper
from wizard.screens.jobscreen import JobScreen
from wizard.screens.prose import labelled, wrap
from wizard.screens.widgets.keybar import KeyBar
from wizard.screens.widgets.safetybox import SafetyBox


class ClosedScreen(JobScreen, inherit_bindings=False):
    """Nothing is changed here; v begins a new visit."""

    BINDINGS: ClassVar[list[BindingType]] = keys.bindings("visit", "note", "found", "home")
    HERE: ClassVar[tuple[str, ...]] = ("visit", "found", "home")
    ABOUT: ClassVar[tuple[str, str]] = (
        "A closed visit",
        "The seal stands on the last line of the customer's paper; on a copy printed before, write it by hand. "
        "With it anyone can show later that the record was not changed, nor anything cut off its end. v comes back to "
        "the same job on a new visit; every gate is asked again. h (or Esc) goes to the home screen.",
    )

    def body(self) -> ComposeResult:
        """How it ended."""
        yield Static(id="closed-text")

    def on_mount(self) -> None:
        """The paper gets its seal; what is said of that must outlast the first drawing."""
        self.call_after_refresh(seal_paper, self.host)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The job and how it ended."""
        visit = self.desk.state.visit
        number = f"visit {visit.number}" if visit else ""
        return f"Job {self.desk.state.session}", (number, "closed"), self.desk.flow.title

    def everywhere(self) -> tuple[str, ...]:
        """Help, note, theme, leave."""
        return ("help", "note", "theme", "leave")

    def show_keys(self) -> None:
        """No stop key: there is nothing to stop."""
        self.query_one(KeyBar).show(keys.shown(self.here()), keys.shown(self.everywhere()))

    def project(self) -> None:
        """Outcome, warning, seal, files; no safety box, since nothing is known of the machine any more."""
        self.query_one(SafetyBox).display = False
        width = self.room[0]
        blocks = [
            wrap(f"Closed: {result_words(self.desk.flow, self.desk.state)}", width, "bold"),
            self._bars(width),
            [
                Content.styled("Seal of the record", "bold $primary"),
                Content.styled(f"  {grouped(self.desk.opened.seal)}  ", "bold reverse"),
                *wrap(
                    "Write it on the paper that the customer signs, if that was printed before now.", width
                ),
            ],
            self._files(width),
        ]
        self.query_one("#closed-text", Static).update(Content("\n").join(stack(*blocks)))

    def _bars(self, width: int) -> list[Content]:
        bars = standing_bars(self.desk.flow, self.desk.state)
        head = wrap("The machine must not be used:", width, "bold $error") if bars else []
        return [*head, *(line for b in bars for line in wrap(f"- {b.says}", width))]

    def _files(self, width: int) -> list[Content]:
        """The papers of this visit that are there, and the folder."""
        visit = self.desk.state.visit
        number = visit.number if visit else 1
        folder = self.desk.opened.folder
        names = [papers.name_for(n, number) for n in (papers.SUMMARY, papers.PARTS, papers.RECORD)]
        there = [n for n in names if (folder / n).is_file()]
        return [
            *labelled("Papers:", ", ".join(there) or "none were written", width),
            *labelled("In:", str(folder), width),
        ]

    def action_home(self) -> None:
        """Nothing is left to do here: to the other jobs."""
        self.host.close_job()

    def action_visit(self) -> None:
        """Come back: ask who comes, and begin the visit."""
        visit = self.desk.state.visit
        says = "Who comes? Every gate is asked again, and what was barred stays barred until it is lifted."
        ask = AskText("A new visit", says, visit.technician if visit else "")
        self.host.ask(ask, self._ticket)

    def _ticket(self, technician: str) -> None:
        ask = AskText("A new visit", "Its ticket number. It may stay empty.", empty=True)
        self.host.ask(ask, lambda ticket: self.host.act(cmd.BeginVisit(technician, ticket)))
