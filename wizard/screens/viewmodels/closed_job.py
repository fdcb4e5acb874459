"""A closed visit in words: how it ended, what keeps the repair from being proved, whether it may be used, its seal."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.content.out_of_use import cleared_words, hazards, left_out_of_use, use_forbidden
from wizard.documents.files import paper_files
from wizard.documents.papers.job_header import result_words
from wizard.documents.text.proof_text import proof_words, unfinished_words, unproved
from wizard.errors import SteadfootError
from wizard.journal.sealed_block import grouped
from wizard.sessions.session_handle import Opened
from wizard.trust.ed25519 import KeyCheck, check
from wizard.trust.seal_signature import load_signatures

WRITE_SEAL = "Write it on the paper that the customer signs, if that was printed before now."
NEW_VISIT = "Who comes? Nothing is believed of the machine, and what was not cleared stays stopped."
WRONG_SIGNATURE = "The signature beside the record is wrong: verify the session."


@dataclass(frozen=True, slots=True)
class ClosedJob:
    """The closed visit of an opened session."""

    opened: Opened

    @property
    def result(self) -> str:
        """How it ended, as a sentence."""
        return f"Closed: {result_words(self.opened.session.view)}"

    @property
    def unproved(self) -> tuple[str, ...]:
        """Why a repair is not proved, and what would prove it; none where nothing is missing."""
        view = self.opened.session.view
        gaps = unproved(view)
        return (
            *(unfinished_words(view.flow, gap) for gap in gaps),
            *([proof_words(view, gaps)] if gaps else []),
        )

    @property
    def forbidden(self) -> tuple[str, ...]:
        """Why the machine must not be used."""
        view = self.opened.session.view
        return (*use_forbidden(view), *hazards(view))

    @property
    def use(self) -> str:
        """Whether it must not be used, or was left out of use, as a sentence; empty where neither is so."""
        if self.forbidden:
            return "The machine must not be used:"
        return "The machine was left out of use." if left_out_of_use(self.opened.session.view) else ""

    @property
    def cleared(self) -> tuple[str, ...]:
        """The stops that were cleared, in words."""
        return tuple(cleared_words(self.opened.session.view))

    @property
    def seal(self) -> str:
        """The seal of the record, in groups of digits."""
        return grouped(self.opened.seal)

    def signature(self) -> tuple[str, bool]:
        """The key by which the seal is signed, and True; or what is wrong with the signature, and False. Both empty
        where none is: verifying the session says so.
        """
        try:
            some = load_signatures(self.opened.folder)
        except SteadfootError as problem:
            return str(problem), False
        mine = [one for one in some if one.chain == self.opened.seal]
        if any(check(one.key, one.signature, one.message) is KeyCheck.WRONG for one in mine):
            return WRONG_SIGNATURE, False
        return (grouped(mine[-1].key) if mine else ""), True

    @property
    def papers(self) -> str:
        """The papers of this visit that are there."""
        visit = self.opened.session.state.visit
        there = paper_files.written(self.opened.folder, visit.number if visit else 1)
        return ", ".join(there) or "none were written"
