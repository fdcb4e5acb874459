"""A closed visit: how it ended, its papers, the last chain value to write down, and coming back."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.content import Content
from textual.widgets import Static

from wizard.documents.content.out_of_use import cleared_words, hazards, left_out_of_use, use_forbidden
from wizard.documents.files import paper_files
from wizard.documents.papers.job_header import result_words
from wizard.documents.text.proof_text import proof_words, unfinished_words, unproved
from wizard.engine.messages import commands as cmd
from wizard.errors import SteadfootError
from wizard.journal.sealed_block import grouped
from wizard.screens.dialogs.prompts import AskName, AskText
from wizard.screens.job.handover_files import seal_paper, write_report_of
from wizard.screens.layout import key_table
from wizard.screens.layout.job_screen import JobScreen
from wizard.screens.program.ledger_thread import take_up_beside
from wizard.screens.text.columns import stack
from wizard.screens.text.step_text import labelled, wrap
from wizard.screens.widgets.frame.keybar import KeyBar
from wizard.screens.widgets.frame.safety_box import SafetyBox
from wizard.trust.ed25519 import KeyCheck, check
from wizard.trust.seal_signature import load_signatures


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
        width = self.room.columns
        blocks = [
            wrap(f"Closed: {result_words(self.controller.view)}", width, "bold"),
            self._unproved(width),
            self._forbidden(width),
            [
                Content.styled("Seal of the record", "bold $primary"),
                Content.styled(f"  {grouped(self.controller.opened.seal)}  ", "bold reverse"),
                *wrap(
                    "Write it on the paper that the customer signs, if that was printed before now.", width
                ),
            ],
            self._signature(width),
            self._files(width),
        ]
        self.query_one("#closed-text", Static).update(Content("\n").join(stack(*blocks)))

    def _unproved(self, width: int) -> list[Content]:
        """Why a repair is not proved, and what would prove it."""
        view = self.controller.view
        gaps = unproved(view)
        lines = [unfinished_words(view.flow, gap) for gap in gaps] + (
            [proof_words(view.flow, gaps)] if gaps else []
        )
        return [line for words in lines for line in wrap(f"- {words}", width)]

    def _forbidden(self, width: int) -> list[Content]:
        view = self.controller.view
        reasons = (*use_forbidden(view), *hazards(view))
        head = wrap("The machine must not be used:", width, "bold $error") if reasons else []
        if not reasons and left_out_of_use(view):
            head = wrap("The machine was left out of use.", width, "bold")
        lines = (*(f"- {reason}" for reason in reasons), *cleared_words(view))
        return [*head, *(line for words in lines for line in wrap(words, width))]

    def _signature(self, width: int) -> list[Content]:
        """By which key the seal is signed, if that holds; nothing where none is: verifying the session says so."""
        opened = self.controller.opened
        try:
            some = load_signatures(opened.folder)
        except SteadfootError as problem:
            return wrap(str(problem), width, "$error")
        mine = [one for one in some if one.chain == opened.seal]
        if any(check(one.key, one.signature, one.message) is KeyCheck.WRONG for one in mine):
            return wrap("The signature beside the record is wrong: verify the session.", width, "$error")
        return labelled("Signed by key:", grouped(mine[-1].key), width) if mine else []

    def _files(self, width: int) -> list[Content]:
        """The papers of this visit that are there, and the folder."""
        visit = self.controller.state.visit
        number = visit.number if visit else 1
        folder = self.controller.opened.folder
        there = paper_files.written(folder, number)
        return [
            *labelled("Papers:", ", ".join(there) or "none were written", width),
            *labelled("In:", str(folder), width),
        ]

    def action_home(self) -> None:
        """Nothing is left to do here: to the other jobs."""
        self.host.close_job()

    def action_report(self) -> None:
        """Write the report, and say where it lies."""
        write_report_of(self.host)

    def action_visit(self) -> None:
        """Come back: ask who comes, and begin the visit."""
        visit = self.controller.state.visit
        says = "Who comes? Nothing is believed of the machine, and what was not cleared stays stopped."
        ask = AskName("A new visit", says, visit.technician if visit else "")
        self.host.ask(ask, self._ticket)

    def _ticket(self, technician: str) -> None:
        ask = AskText("A new visit", "Its ticket number. It may stay empty.", empty=True)
        self.host.ask(ask, lambda ticket: self.host.act(cmd.BeginVisit(technician, ticket)))
