"""A closed visit: how it ended, its papers, the last chain value to write down, and coming back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.screens.dialogs.visit_prompts import ask_visit
from wizard.screens.job.handover_files import seal_paper, write_report_of
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.program.ledger_thread import take_up_beside
from wizard.screens.text.columns import stack
from wizard.screens.text.shared_sentences import RECORD_SEAL
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.viewmodels.closed_job import WRITE_SEAL, ClosedJob
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.safety_box import SafetyBox


class ClosedScreen(JobScreen, inherit_bindings=False):
    """Nothing is changed here; v begins a new visit."""

    BINDINGS: ClassVar[list[BindingType]] = key_table.bindings("visit", "report", "note", "found", "home")
    HERE: ClassVar[tuple[str, ...]] = ("visit", "report", "found", "home")
    ABOUT: ClassVar[tuple[str, str]] = (
        "A closed visit",
        "The seal stands on the last line of the customer's paper; on a copy printed before, write it by hand. "
        "With it anyone can show later that the record was not changed, nor anything cut off its end. v comes back to "
        "the same job on a new visit; nothing is believed of the machine then. r writes the report: one file that any "
        "browser shows and prints, the customer's page and behind it the record. h (or Esc) goes to the home screen.",
    )

    def body(self) -> ComposeResult:
        """How it ended."""
        yield Static(id="closed-text")

    def on_mount(self) -> None:
        """The paper gets its seal; what is said of that must outlast the first drawing."""
        self.call_after_refresh(self._sealed)

    def _sealed(self) -> None:
        """The paper first: what is put into the ledger is verified with its papers."""
        seal_paper(self.host)
        take_up_beside(self.app, self.host.store, self.host.say)

    def headline(self) -> tuple[str, tuple[str, ...], str]:
        """The job and how it ended."""
        visit = self.controller.state.visit
        number = f"visit {visit.number}" if visit else ""
        return f"Job {self.controller.state.session}", (number, "closed"), self.controller.flow.title

    def everywhere(self) -> tuple[str, ...]:
        """Help, note, theme, leave."""
        return ("help", "note", "theme", "leave")

    def show_keys(self) -> None:
        """No stop key: there is nothing to stop."""
        self.query_one(KeyBar).show(key_table.labels(self.here()), key_table.labels(self.everywhere()))

    def project(self) -> None:
        """Outcome, warning, seal, files; no safety box, since nothing is known of the machine any more."""
        self.query_one(SafetyBox).display = False
        width, closed = self.room.columns, ClosedJob(self.controller.opened)
        blocks = [
            wrap(closed.result, width, "bold"),
            [line for words in closed.unproved for line in wrap(f"- {words}", width)],
            _forbidden(closed, width),
            [
                Content.styled(RECORD_SEAL, "bold $primary"),
                Content.styled(f"  {closed.seal}  ", "bold reverse"),
                *wrap(WRITE_SEAL, width),
            ],
            _signature(closed, width),
            [
                *labelled("Papers:", closed.papers, width),
                *labelled("In:", str(self.controller.opened.folder), width),
            ],
        ]
        self.query_one("#closed-text", Static).update(Content("\n").join(stack(*blocks)))

    def action_home(self) -> None:
        """Nothing is left to do here: to the other jobs."""
        self.host.close_job()

    def action_report(self) -> None:
        """Write the report, and say where it lies."""
        write_report_of(self.host)

    def action_visit(self) -> None:
        """Come back: ask who comes, and begin the visit."""
        ask_visit(self.host)


def _forbidden(closed: ClosedJob, width: int) -> list[Content]:
    head = wrap(closed.use, width, "bold $error" if closed.forbidden else "bold") if closed.use else []
    lines = (*(f"- {reason}" for reason in closed.forbidden), *closed.cleared)
    return [*head, *(line for words in lines for line in wrap(words, width))]


def _signature(closed: ClosedJob, width: int) -> list[Content]:
    """By which key the seal is signed, if that holds."""
    words, holds = closed.signature()
    if not holds:
        return wrap(words, width, "$error")
    return labelled("Signed by key:", words, width) if words else []
