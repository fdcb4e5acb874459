"""What stands behind a session beside its chain: signatures, approval of its flow, ledger; and what wasn't checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from wizard.sessions.reviews.review_rows import Review, ReviewRow, row_message
from wizard.sessions.reviews.review_text import response_head, row_head
from wizard.sessions.trusting.flow_trust import FlowStanding, flow_standing
from wizard.sessions.trusting.ledger_sessions import LedgerStanding
from wizard.sessions.verifying.damaged_end import UNTOLD
from wizard.trust.ed25519 import NEEDED
from wizard.trust.signature_check import SignatureFound, SignatureStanding, found_of, seal_found
from wizard.trust.trusted_keys import NAME as TRUSTED
from wizard.trust.trusted_keys import Trusted


@dataclass(frozen=True, slots=True)
class RowSignature:
    """How the signature of one row of the review stands; ``head``: which row it is, in words."""

    head: str
    found: SignatureFound


_DEPARTED = (
    "The shop's ledger has another closing seal of this session, which is in none of its events: it was "
    "rewritten, or cut short, since that was added."
)


@dataclass(frozen=True, slots=True)
class TrustReport:
    """``seal``: how the closing seal is signed; ``rows``: how each row of the review is; ``flow``: whether its flow is
    approved; ``ledger``: whether its closing seal is in the shop's. ``closed``, ``printed``: whether it was closed, and
    a printed value compared; ``after``: how many events follow the last closing one; ``waits``: for the ledger;
    ``strange``: a damaged last block was left out, by which it may have been closed; ``own_departed``: the home has a
    ledger of its own beside the shop's, and that has another closing seal of it.
    """

    seal: SignatureFound
    rows: tuple[RowSignature, ...]
    flow: FlowStanding
    ledger: LedgerStanding
    digest: str
    closed: bool
    printed: bool
    after: int = 0
    waits: bool = False
    strange: bool = False
    own_departed: bool = False

    @property
    def troubles(self) -> tuple[str, ...]:
        """What is wrong, a sentence each."""
        seal = (f"The closing seal: {self.seal.words}.",) if self.seal.wrong else ()
        departed = (_DEPARTED,) if self.ledger is LedgerStanding.DEPARTED else ()
        return (
            *seal,
            *departed,
            *(
                (_DEPARTED.replace("The shop's ledger", "The ledger of this home"),)
                if self.own_departed
                else ()
            ),
            *(f"{row.head}: {row.found.words}." for row in self.rows if row.found.wrong),
        )

    @property
    def lines(self) -> tuple[str, ...]:
        """Who signed the closing seal and the rows of the review, a sentence each; wrong ones are troubles."""
        seal = () if self.seal.wrong else (f"Closing seal: {self.seal.words}.",)
        signed = (row for row in self.rows if not row.found.wrong and row.found.key)
        there = ("Its closing seal is in the shop's ledger.",) if self.ledger is LedgerStanding.THERE else ()
        return (*seal, *(f"{row.head}: {row.found.words}." for row in signed), *there)

    @property
    def unchecked(self) -> tuple[str, ...]:
        """What this verification did not check, or could not, a sentence each."""
        found = []
        if not self.printed:
            found.append(
                "No printed seal was compared: whoever cut events off the end and altered the papers too would not be "
                "seen by the chain (--printed)."
            )
        if self.strange:
            found.append(f"{UNTOLD} No closing seal of it was compared.")
        elif not self.closed:
            found.append("The job was never closed: there is no closing seal that was printed or signed.")
        if self.closed and self.after:
            follow = "1 event follows" if self.after == 1 else f"{self.after} events follow"
            found.append(f"{follow} the last closing seal: no seal of what came after was printed or signed.")
        if self.flow is FlowStanding.UNKNOWN:
            found.append(
                f"Its flow is not among those that this shop approved ({TRUSTED}), nor one that comes with this "
                f"program: the rules it was checked by are those of digest {self.digest[:16]}."
            )
        if self.closed and self.seal.standing is SignatureStanding.NONE:
            found.append("No signature was checked: there is none of the closing seal.")
        if self.seal.standing is SignatureStanding.UNCHECKED:
            found.append(f"The signature was not checked. {NEEDED}")
        bare = sum(row.found.standing is SignatureStanding.NONE for row in self.rows)
        if bare:
            verb = "bears" if bare == 1 else "bear"
            found.append(f"Of {len(self.rows)} things written on the review {bare} {verb} no signature.")
        if self.ledger is LedgerStanding.NO_LEDGER:
            found.append("There is no ledger of closing seals here (steadfoot ledger).")
        elif self.ledger is LedgerStanding.AWAY:
            found.append("The ledger that was named is not there, so nothing was compared with it.")
        elif self.ledger is LedgerStanding.ABSENT and self.closed:
            wait = ": it waits to be put in" if self.waits else ""
            found.append(f"Its closing seal is not in the shop's ledger{wait}.")
        return tuple(found)


def trust_report(
    folder: Path,
    session: str,
    digest: str,
    chains: Sequence[str],
    closing: str,
    review: Review,
    trusted: Trusted,
    ledger: LedgerStanding,
    printed: bool,
    waits: bool = False,
    strange: bool = False,
    own_departed: bool = False,
) -> TrustReport:
    """What stands behind the session in a folder. ``session``: its id in the journal; ``digest``: of its flow;
    ``chains``: the chain values of its blocks; ``closing``: that of the last closing event, empty where none is.
    """
    rows: list[tuple[str, ReviewRow]] = [(row_head(row), row) for row in review.notes]
    rows += [(row_head(row), row) for row in review.signed]
    rows += [(response_head(row), row) for row in review.responses]
    return TrustReport(
        seal_found(folder, session, chains, closing, trusted),
        tuple(
            RowSignature(head, found_of(row.key, row.signature, row_message(session, row), trusted))
            for head, row in rows
        ),
        flow_standing(digest, trusted),
        ledger,
        digest,
        bool(closing),
        printed,
        len(chains) - 1 - chains.index(closing) if closing in chains else 0,
        waits,
        strange,
        own_departed,
    )
