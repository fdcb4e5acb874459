"""What finds an edit: verifying alone, the printed seal, the signature, the ledger. One run an edit and who made it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tests.trust.edited_homes import SESSION, EditedHome, home_to_edit
from tests.trust.session_edits import SessionEdit
from wizard.cli.verification_text import troubles
from wizard.errors import SteadfootError, UsageError
from wizard.journal.journal_verification import PrintedPlace, verify
from wizard.sessions.session_store import Store
from wizard.sessions.session_verification import SessionVerification, verified
from wizard.sessions.trusting.flow_trust import FlowStanding
from wizard.sessions.trusting.ledger_sessions import departures
from wizard.trust.seal_ledger import load_ledger
from wizard.trust.signature_check import SignatureStanding


@dataclass(frozen=True, slots=True)
class EditOutcome:
    """Which check finds an edit. ``signature``: of who edits without the key; ``signed_again``: of who has it.
    ``flow``: verifying says that the flow is not an approved one.
    """

    alone: bool
    printed: bool
    signature: bool
    signed_again: bool
    ledger: bool
    flow: bool = False

    @property
    def cells(self) -> tuple[str, ...]:
        """The row of a table."""
        all_ = (self.alone, self.printed, self.signature, self.signed_again, self.ledger)
        found, *others = tuple("found" if found else "-" for found in all_)
        return ("said" if self.flow and not self.alone else found, *others)


def outcome_of(edit: SessionEdit, root: Path) -> EditOutcome:
    """Edit a copy of the home at ``root``, and look what finds it. What isn't there any more verifies nothing: only
    who has a paper with its seal, or a ledger, misses it.
    """
    home = home_to_edit(root)
    edit.act(home)
    found = _verified(home.store)
    alone = found is not None and bool(_without_trust(found))
    printed = found is None or verify(home.journal, home.printed).printed is PrintedPlace.ABSENT
    signature = found is not None and not _known(found)
    ledger = load_ledger(home.store.root)
    listed = bool(ledger is None or ledger.departs(home.head) or list(departures(home.store.home, ledger)))
    flow = found is not None and found.trust is not None and found.trust.flow is not FlowStanding.APPROVED
    return EditOutcome(alone, printed, signature, _after_signing(home), listed, flow)


def _verified(store: Store) -> SessionVerification | None:
    try:
        return verified(store, SESSION)
    except UsageError:
        return None


def _without_trust(found: SessionVerification) -> list[str]:
    """What is wrong by the record itself, neither signature nor ledger looked at."""
    beside = {*(found.trust.troubles if found.trust else ())}
    return [line for line in troubles(found) if line not in beside]


def _known(found: SessionVerification) -> bool:
    """Whether the signature still counts. One that was not looked at, since no journal can be read, found nothing."""
    if found.trust is None:
        return True
    each = (found.trust.seal, *(row.found for row in found.trust.rows))
    return all(one.standing is SignatureStanding.KNOWN for one in each)


def _after_signing(home: EditedHome) -> bool:
    """Whether the signature shows it where the editor signs the closing seal anew with the laptop's own key."""
    try:
        home.sign_again()
    except UsageError:
        return True  # Nothing closes it that could be signed: verifying says so, where there was a signature.
    except SteadfootError:
        return False
    found = _verified(home.store)
    return found is not None and not _known(found)
