"""A session checked in all its parts: the chain, the flow, the attachments, the papers, the rules. As data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from wizard.engine import events as ev
from wizard.engine.audit import Breach, audit
from wizard.engine.draft import Rules
from wizard.engine.opened import Loaded
from wizard.engine.store import Store
from wizard.errors import SteadfootError
from wizard.journal import attachments
from wizard.journal.disk import load
from wizard.journal.read import NAME
from wizard.journal.verify import Verification, verify
from wizard.review import signoff
from wizard.review.parcel import PAPER
from wizard.review.signoff import SignOff

COUNTER = "sequence"
"""The key under which events are numbered in a journal."""


@dataclass(frozen=True, slots=True)
class Checked:
    """One thing that was checked: 'flow', or a file's name. ``trouble`` is empty when it is as it was."""

    name: str
    trouble: str = ""
    note: str = ""

    @property
    def ok(self) -> bool:
        """True when nothing is wrong with it."""
        return not self.trouble


@dataclass(frozen=True, slots=True)
class Verified:
    """What a check of a whole session found.

    ``read`` says why the session can't be read, empty when it can; without that only the chain was checked.
    ``signed`` is the last sign-off, ``stale`` when the journal has changed since it.
    """

    session: str
    chain: Verification
    read: str = ""
    flow: Checked | None = None
    attachments: tuple[Checked, ...] = ()
    papers: tuple[Checked, ...] = ()
    breaches: tuple[Breach, ...] = ()
    signed: SignOff | None = None
    stale: bool = False
    notes: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """True when nothing is wrong, as far as the chain (and the printed value, if given) can tell."""
        checked = (*((self.flow,) if self.flow else ()), *self.attachments, *self.papers)
        return self.chain.ok and not self.read and not self.breaches and all(c.ok for c in checked)


def verified(store: Store, session: str, printed: str | None = None) -> Verified:
    """Check a session in all its parts; nothing is altered.

    ``printed`` is the chain value of the report, whole or its first 16 digits: only it shows whole blocks cut off
    the end. UsageError if there is no such session or the value is none; JournalError if the journal can't be opened.
    """
    folder = store.home.session_folder(session)
    chain = verify(folder / NAME, printed, COUNTER)
    try:
        loaded = store.load(session)
    except SteadfootError as trouble:
        return Verified(session, chain, str(trouble))
    signed, says = _signed(folder)
    return Verified(
        session,
        chain,
        flow=_flow(loaded),
        attachments=tuple(_attachments(folder, loaded.records)),
        papers=tuple(_papers(folder, loaded.records)),
        breaches=_breaches(loaded),
        signed=signed,
        stale=signed is not None and not signed.covers(loaded.chain),
        notes=(*_torn(loaded), *says),
    )


def _flow(loaded: Loaded) -> Checked:
    """Loading has checked the kept files against the digest; what is left is that the journal names this flow."""
    began = loaded.records[0].event
    assert isinstance(began, ev.Began)
    if (began.flow, began.version) != (loaded.flow.id, loaded.flow.version):
        here = f"{loaded.flow.id} {loaded.flow.version}"
        return Checked(
            "flow", f"The journal says {began.flow} {began.version}; the files are those of {here}."
        )
    if began.session != loaded.name:
        return Checked("flow", f"The journal is that of session {began.session}, not of {loaded.name}.")
    return Checked("flow", note=f"{loaded.flow.id} {loaded.flow.version}, digest {loaded.flow.digest[:16]}")


def _attachments(folder: Path, records: Iterable[ev.Recorded]) -> Iterable[Checked]:
    kept = {
        r.event.name: r.event.sha256
        for r in records
        if isinstance(r.event, ev.PhotoTaken | ev.RecordingTaken)
    }
    for name, digest in kept.items():
        yield Checked(name, attachments.check(folder, name, digest) or "")


def _papers(folder: Path, records: Iterable[ev.Recorded]) -> Iterable[Checked]:
    """The handover files, each as it was last written."""
    kept = {r.event.name: r.event.sha256 for r in records if isinstance(r.event, ev.HandedOver)}
    for name, digest in kept.items():
        yield Checked(name, _paper(folder, name, digest))


def _paper(folder: Path, name: str, digest: str) -> str:
    if not PAPER.fullmatch(name):
        return f"{name!r} is no name that a handover file has."
    path = folder / name
    if path.is_symlink():
        return f"{path}: this is a link to another file, not the handover."
    try:
        data = load(path)
    except SteadfootError as trouble:
        return str(trouble)
    if sha256(data).hexdigest() != digest:
        return f"{path}: it was altered; its SHA-256 is not the one that the journal holds."
    return ""


def _breaches(loaded: Loaded) -> tuple[Breach, ...]:
    return audit(Rules.of(loaded.flow), loaded.records)


def _signed(folder: Path) -> tuple[SignOff | None, tuple[str, ...]]:
    try:
        review = signoff.load(folder)
    except SteadfootError as trouble:
        return None, (str(trouble),)
    return (review.signed[-1] if review.signed else None), ()


def _torn(loaded: Loaded) -> tuple[str, ...]:
    if not loaded.torn:
        return ()
    return (f"The last write was cut off: {loaded.torn} bytes without a valid seal follow the last event.",)
