"""A session checked in all its parts: the chain, the flow, the attachments, the papers, the rules. As data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from wizard import VERSION
from wizard.engine.audit import Breach, audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages import events as ev
from wizard.errors import SteadfootError
from wizard.flow.model import RecordStep
from wizard.journal import attachments
from wizard.journal.journal_reader import NAME, JournalContents
from wizard.journal.journal_verification import Verification, verify
from wizard.journal.sealed_block import grouped
from wizard.journal.session_name import is_own_name
from wizard.journal.tamper_check import TamperKind
from wizard.sessions import sign_off
from wizard.sessions.session_handle import Loaded, began_of
from wizard.sessions.session_store import Store
from wizard.sessions.sign_off import SignOff
from wizard.sessions.trusting.ledger_sessions import LedgerStanding, in_ledger, seals_in
from wizard.sessions.trusting.trust_report import TrustReport, trust_report
from wizard.sessions.verifying.earlier_check import earlier_check
from wizard.sessions.verifying.paper_verification import check_papers
from wizard.sessions.verifying.recorded_figures import departs, unproved
from wizard.trust.seal_ledger import remembered_ledger
from wizard.trust.trusted_keys import load_trusted


@dataclass(frozen=True, slots=True)
class PartCheck:
    """One thing that was checked: 'flow', or a file's name. ``trouble`` is empty when it is as it was."""

    name: str
    trouble: str = ""
    note: str = ""

    @property
    def ok(self) -> bool:
        """True when nothing is wrong with it."""
        return not self.trouble


@dataclass(frozen=True, slots=True)
class SessionVerification:
    """What a check of a whole session found.

    ``read`` says why the session can't be read, empty when it can; without that only the chain was checked.
    ``signed`` is the last sign-off, ``stale`` when the journal has changed since it: events were added, or, as
    ``unsigned`` then says, some that were signed are gone. ``trust``: signatures, flow and ledger. ``departed``: the
    session that it names as the one before it is no longer what it was.
    """

    session: str
    chain: Verification
    read: str = ""
    flow: PartCheck | None = None
    attachments: tuple[PartCheck, ...] = ()
    papers: tuple[PartCheck, ...] = ()
    breaches: tuple[Breach, ...] = ()
    signed: SignOff | None = None
    trust: TrustReport | None = None
    stale: bool = False
    unsigned: tuple[str, ...] = ()
    departed: str = ""
    notes: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """True when nothing is wrong, as far as the chain (and the printed value, if given) can tell."""
        checked = (*((self.flow,) if self.flow else ()), *self.attachments, *self.papers)
        reported = (
            self.read,
            self.breaches,
            self.unsigned,
            self.departed,
            self.trust and self.trust.troubles,
        )
        return self.chain.ok and not any(reported) and all(c.ok for c in checked)


def verified(store: Store, session: str, printed: str | None = None) -> SessionVerification:
    """Check a session in all its parts; nothing is altered.

    ``printed`` is the chain value of the report, whole or its first 16 digits: it shows whole blocks cut off the end,
    as does the seal on a paper in the folder, and a sign-off, as long as nobody altered these. UsageError if there is
    no such session or the value is none; JournalError if the journal can't be opened; DetailsError if the file of what
    the shop trusts has mistakes.
    """
    folder = store.home.session_folder(session)
    reading = _reading(store, session)
    chain = verify(folder / NAME, printed, reading)
    review, says = _review(folder)
    signed = review.signed[-1] if review.signed else None
    stale = signed is not None and not signed.covers(chain.last_chain)
    unsigned = tuple(_gone(s) for s in review.signed if s.chain not in chain.chains)
    trust = _trust(store, session, reading, chain, review, printed is not None)
    try:
        loaded = store.load(session)
    except SteadfootError as trouble:
        return SessionVerification(
            session,
            chain,
            str(trouble),
            signed=signed,
            trust=trust,
            stale=stale,
            unsigned=unsigned,
            notes=says,
        )
    checks = check_papers(folder, loaded.records, chain.chains)
    papers = tuple(PartCheck(c.name, c.trouble, c.note) for c in checks)
    kept = tuple(_attachments(folder, loaded))
    departed, away = earlier_check(store.home, began_of(session, loaded.records))
    return SessionVerification(
        session,
        chain,
        flow=_flow(loaded, chain.chains),
        attachments=kept,
        papers=papers,
        breaches=_breaches(loaded),
        signed=signed,
        trust=trust,
        stale=stale,
        unsigned=unsigned,
        departed=departed,
        notes=(
            *filter(None, (away,)),
            *_torn(chain, loaded),
            *_not_kept(loaded),
            *_notes((*papers, *kept)),
            *says,
        ),
    )


def _notes(parts: Iterable[PartCheck]) -> Iterable[str]:
    """What was not checked of a part, with its name where the sentence doesn't have it."""
    return (p.note if p.note.startswith(p.name) else f"{p.name}: {p.note}" for p in parts if p.note)


def _flow(loaded: Loaded, chains: Iterable[str]) -> PartCheck:
    """Loading has checked the kept files against the digest; what is left is that the journal names this flow."""
    began = loaded.records[0].event
    assert isinstance(began, ev.Began)
    if (began.flow, began.version) != (loaded.flow.id, loaded.flow.version):
        here = f"{loaded.flow.id} {loaded.flow.version}"
        return PartCheck(
            "flow", f"The journal says {began.flow} {began.version}; the files are those of {here}."
        )
    if not is_own_name(loaded.name, began.session, chains):
        return PartCheck("flow", f"The journal is that of session {began.session}, not of {loaded.name}.")
    return PartCheck("flow", note=f"{loaded.flow.id} {loaded.flow.version}, digest {loaded.flow.digest[:16]}")


def _trust(
    store: Store,
    session: str,
    reading: JournalContents | None,
    chain: Verification,
    review: sign_off.Review,
    printed: bool,
) -> TrustReport | None:
    """What stands behind a session, by its journal alone: its flow need not be there. None where the journal can't be
    read.
    """
    if reading is None:
        return None
    found = seals_in(reading, session)
    folder, last = store.home.session_folder(session), found.seals[-1][1] if found.seals else ""
    there = store.ledger_folder
    trusted, ledger = load_trusted(store.root), remembered_ledger(there.path)
    own = remembered_ledger(store.root) if there.named is not None else None
    beside = in_ledger(store.home, own, found.session, session, chain.chains, last)
    standing = in_ledger(store.home, ledger, found.session, session, chain.chains, last)
    if standing is LedgerStanding.NO_LEDGER and there.named is not None:
        standing = LedgerStanding.AWAY
    return trust_report(
        folder, found.session, found.digest, chain.chains, last, review, trusted, standing, printed,
        session in there.waiting(), reading.strange, beside is LedgerStanding.DEPARTED,
    )  # fmt: skip


def _reading(store: Store, session: str) -> JournalContents | None:
    """What is read of its journal; None where it can't be, which loading it will say."""
    try:
        return store.reading(session)
    except SteadfootError:
        return None


def _attachments(folder: Path, loaded: Loaded) -> Iterable[PartCheck]:
    """Each file once: its bytes, and of a recording what every event says of it, computed anew."""
    named = [
        r.event
        for r in loaded.records
        if isinstance(r.event, ev.PhotoTaken | ev.RecordingTaken | ev.SpinRecorded) and r.event.name
    ]
    began = loaded.records[0].event
    worded = isinstance(began, ev.Began) and began.program == VERSION
    for name, digest in {event.name: event.sha256 for event in named}.items():
        trouble = attachments.check(folder, name, digest) or ""
        said = [e for e in named if e.name == name and isinstance(e, ev.RecordingTaken | ev.SpinRecorded)]
        path = folder / attachments.FOLDER / name
        found = (departs(path, e, _bearings(loaded, e), worded) for e in said)
        notes = (unproved(e) for e in said)
        yield PartCheck(name, trouble or next(filter(None, found), ""), next(filter(None, notes), ""))


def _not_kept(loaded: Loaded) -> tuple[str, ...]:
    """A note on recordings whose figures can't be computed anew: their files were too large to be kept."""
    count = sum(isinstance(r.event, ev.SpinRecorded) and not r.event.name for r in loaded.records)
    if not count:
        return ()
    what = "1 recording was" if count == 1 else f"{count} recordings were"
    return (f"{what} too large to be kept: the figures in the journal are all that is left of that.",)


def _bearings(loaded: Loaded, event: ev.RecordingTaken | ev.SpinRecorded) -> tuple[str, ...]:
    """The bearings that the step of a recorded spin looks for."""
    run = loaded.state.find_run(event.run)
    place = loaded.flow.inspections.get(run.inspection) if run else None
    step = place.step(event.step) if place else None
    return step.bearings if isinstance(step, RecordStep) else ()


def _breaches(loaded: Loaded) -> tuple[Breach, ...]:
    return audit(Rules.of(loaded.flow), loaded.records)


def _review(folder: Path) -> tuple[sign_off.Review, tuple[str, ...]]:
    """What reviewers wrote, and a note where it can't be read."""
    try:
        return sign_off.load(folder), ()
    except SteadfootError as trouble:
        return sign_off.Review(), (str(trouble),)


def _gone(signed: SignOff) -> str:
    """The sentence on a sign-off whose last event is in no block."""
    return (
        f"{signed.by} signed {signed.events} events off, the last with the seal {grouped(signed.chain)}, which is in "
        "no block now. Blocks were cut off the end since, or the journal was rewritten."
    )


def _torn(chain: Verification, loaded: Loaded) -> tuple[str, ...]:
    """A note on bytes after the last event that follows from the one before it; what they are the chain has said."""
    if not loaded.torn:
        return ()
    if any(p.kind is TamperKind.TORN for p in chain.problems):
        return (
            f"The last write was cut off: {loaded.torn} bytes without a valid seal follow the last event.",
        )
    return (f"What follows the last sound event, {loaded.torn} bytes, is left out of all that is shown.",)
