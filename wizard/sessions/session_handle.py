"""A session on disk opened: at work with its journal held open, or read for looking at. The store's heavy half."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterable, Mapping, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Self

from wizard.domain.clock_times import zone_text
from wizard.engine.messages.commands import AddPhoto, TakeRecording, TakeSpin
from wizard.engine.messages.events import Began, Closed, Recorded, records_of, to_dict
from wizard.engine.session import Clock, Follows, Session
from wizard.engine.state.fold import follow_all, untellable
from wizard.engine.state.job_state import State
from wizard.engine.state.job_view import JobView
from wizard.errors import FlowError, JournalError, JournalLost, SteadfootError, UsageError
from wizard.flow.loading.flow_loader import Known, load_files, load_kept
from wizard.flow.model import Flow
from wizard.flow.parsing import flow_files
from wizard.foreign.harmless import harmless
from wizard.journal import attachments
from wizard.journal.earlier_session import earlier_session, note_begun
from wizard.journal.home_folder import Home
from wizard.journal.journal_reader import NAME, JournalContents, read
from wizard.journal.journal_writer import Journal
from wizard.sessions.copy_keeper import CopyKeeper
from wizard.sessions.trusting.ledger_folder import LedgerFolder
from wizard.sessions.trusting.seal_signing import SealSigner
from wizard.sessions.verifying.damaged_end import why_kept


@dataclass(frozen=True, slots=True)
class Loaded:
    """A session read from disk for looking at: its flow, its events, the state they make, its last chain value.

    ``trouble``: a sentence on each event that can't be followed, and so was left out of the state. ``seal``: the chain
    value of the last event that closed a visit; empty where none did. ``damage``: a sentence on each part of a
    damaged journal that no seal holds, where it was read past that; ``broken``: they
    are more than a write that was cut short at its end. ``strange``: a last block that is whole, and whose seal does
    not fit, was left out.
    """

    name: str
    flow: Flow
    records: tuple[Recorded, ...]
    state: State
    chain: str
    torn: int
    trouble: tuple[str, ...] = ()
    seal: str = ""
    damage: tuple[str, ...] = ()
    broken: bool = False
    strange: bool = False

    @property
    def view(self) -> JobView:
        """How the job stands, with the rules of its flow."""
        return JobView.of(self.flow, self.state)


class JournalHandle:
    """Writes events to a journal, and has the seal of each that closes a visit signed, and wait for the shop's ledger.

    ``seal``: the chain value of the last that closed a visit, else empty; ``unsigned``, ``unlisted``: why that is not
    signed though there is a key, and does not wait though there is a ledger, else empty.
    """

    def __init__(
        self,
        journal: Journal,
        signer: SealSigner,
        ledger: LedgerFolder,
        copying: CopyKeeper,
        records: tuple[Recorded, ...] = (),
    ) -> None:
        self.journal, self._signer, self._ledger, self.copying = journal, signer, ledger, copying
        self.unsigned = self.unlisted = ""
        self.seal = last_seal(records, journal.reading.chains)
        self._session = next((r.event.session for r in records if isinstance(r.event, Began)), "")
        self._written = records[-1].seq if records else 0

    def __call__(self, record: Recorded) -> Follows:
        """Make an event durable; what is to follow on it is returned. JournalLost if the disk refuses, or the event's
        number is one that the journal has: its state was left behind.
        """
        if record.seq <= self._written:
            raise JournalLost(
                f"{self.journal.path}: its event {record.seq} is written already. Open the session again, then go on."
            )
        chain = self.journal.append(to_dict(record))
        self._written = record.seq
        return partial(self._follow, record, chain, self.journal.size)

    def _follow(self, record: Recorded, chain: str, size: int) -> None:
        """What is done on a durable event: each thing, whatever another raises."""
        if isinstance(record.event, Began):
            self._session = record.event.session
        with ExitStack() as each:
            if isinstance(record.event, Closed):
                self.seal = chain
                each.callback(self._wait)
                each.callback(self._sign, record, chain)
            each.callback(self.copying.follow, size)

    def _sign(self, record: Recorded, chain: str) -> None:
        self.unsigned = self._signer.sign(self.journal.folder, self._session, chain, record.seq)

    def _wait(self) -> None:
        self.unlisted = self._ledger.wait(self.journal.folder.name) if self._ledger.kept else ""


def last_seal(records: Sequence[Recorded], chains: Sequence[str]) -> str:
    """The chain value of the last event that closed a visit; empty where none did."""
    pairs = reversed(tuple(zip(records, chains, strict=True)))
    return next((chain for record, chain in pairs if isinstance(record.event, Closed)), "")


class Opened:
    """A session at work with its journal held open. A context manager that lets go of both."""

    def __init__(self, name: str, session: Session, writer: JournalHandle) -> None:
        self.name = name
        self.session = session
        self.journal = writer.journal
        self._writer = writer

    @property
    def seal(self) -> str:
        """The chain value of the event that closed the visit: the seal on its paper. Empty where none was closed."""
        return self._writer.seal

    @property
    def unsigned(self) -> str:
        """Why the seal of a visit that was closed just now is not signed though there is a key; otherwise empty."""
        return self._writer.unsigned

    @property
    def copying(self) -> CopyKeeper:
        """Its second copy."""
        return self._writer.copying

    def copied(self) -> tuple[str, ...]:
        """What there is to say of the second copy since it was asked last."""
        return self._writer.copying.sentences()

    @property
    def unlisted(self) -> str:
        """Why the seal of a visit that was closed just now doesn't wait for the shop's ledger though there is one."""
        return self._writer.unlisted

    @property
    def folder(self) -> Path:
        """Where the session lives."""
        return self.journal.folder

    @property
    def recovered(self) -> tuple[str, ...]:
        """A sentence for the screen on whatever had to be repaired to open it."""
        return self.journal.recovery.says

    def attach(self, source: Path, caption: str) -> None:
        """Keep a photo with the session and in its journal. SteadfootError says what is wrong with the file."""
        kept = attachments.keep(self.folder, source)
        self.session.do(AddPhoto(kept.name, kept.sha256, caption))

    def keep_recording(self, source: Path, sha256: str, command: TakeRecording) -> TakeRecording:
        """Keep a recording with the session; gives the command with its name there, to be done.

        SteadfootError says what is wrong with the file, or that it isn't the one that was read (``sha256``).
        """
        kept = attachments.keep(self.folder, source)
        if kept.sha256 != sha256:
            raise UsageError(f"{source}: it has changed since it was read. Read it again.")
        return replace(command, name=kept.name, sha256=kept.sha256)

    def keep_spin(self, source: Path, sha256: str, command: TakeSpin) -> TakeSpin:
        """Keep a recorded spin with the session, as ``keep_recording``; one that is larger than an attachment may be
        stays where it is, and the journal holds its digest and what it said.
        """
        if attachments.too_large(source):
            return replace(command, sha256=sha256)
        kept = attachments.keep(self.folder, source)
        if kept.sha256 != sha256:
            raise UsageError(f"{source}: it has changed since it was read. Read it again.")
        return replace(command, name=kept.name, sha256=kept.sha256)

    def let_go(self, name: str) -> None:
        """Take a kept file away again, of which the act was refused; one that some event names stays."""
        state = self.session.state
        named = {one.name for each in (state.notes, state.recordings, state.spins) for one in each}
        if name and name not in named:
            attachments.drop(self.folder, name)

    def close(self) -> None:
        """Let the journal go, and its second copy."""
        self._writer.copying.close()
        self.journal.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_error: object) -> None:
        self.close()


def begin(
    home: Home,
    clock: Clock,
    flow: Flow,
    files: Mapping[str, bytes],
    technician: str,
    ticket: str,
    ledger: LedgerFolder,
) -> Opened:
    """Begin a session on a flow whose files are kept with it. JournalLost if the disk refuses."""
    home.keep_files(flow.digest, {n: d for n, d in files.items() if flow_files.belongs(n)})
    earlier = earlier_session(home)
    local = clock.wall().astimezone()
    name = home.new_session(local.date())
    folder = home.session_folder(name)
    try:
        journal = Journal.create(folder)
    except SteadfootError:
        _unmade(folder)
        raise
    try:
        copying = CopyKeeper(home.root, journal.path, clock.mono)
        writer = JournalHandle(journal, SealSigner(home.root, clock), ledger, copying)
        session = Session.begin(flow, name, writer, clock, technician, ticket, earlier, zone_text(local))
    except BaseException:
        journal.close()
        if not journal.begun:
            shutil.rmtree(
                folder, ignore_errors=True
            )  # Ours alone, made just now, and nothing in it is on the disk.
        raise
    note_begun(home, name)
    return Opened(name, session, writer)


def _unmade(folder: Path) -> None:
    """Take away the folder of a session that never began; what can't be is swept at the next start."""
    from wizard.sessions.sweeping import never_began

    if never_began(folder):
        shutil.rmtree(folder, ignore_errors=True)


def resume(home: Home, clock: Clock, known: Known, name: str, ledger: LedgerFolder) -> Opened:
    """A session of this home, resumed; ``known``: which flow digests were checked already.

    JournalBusy, JournalError or FlowError say why it can't be.
    """
    journal = Journal.open(home.session_folder(name), why_kept)
    try:
        records = records_of(journal.reading.events, f"Session {name}")
        flow = _to_work_on(home, known, name, records)
        _refuse_untellable(name, records, flow)
        copying = CopyKeeper(home.root, journal.path, clock.mono)
        writer = JournalHandle(journal, SealSigner(home.root, clock), ledger, copying, records)
        session = Session.resume(flow, records, writer, clock)
        writer.copying.follow(journal.size)
    except BaseException:
        journal.close()
        raise
    return Opened(name, session, writer)


def _refuse_untellable(name: str, records: Iterable[Recorded], flow: Flow) -> None:
    """JournalError where an event tells of the machine what no event of this flow can tell: nothing is built on it."""
    if trouble := next(filter(None, (untellable(record, flow.conditions) for record in records)), ""):
        raise JournalError(
            f"Session {name}: {harmless(trouble)} It was altered, so it can't be worked on. It can be read: session "
            "show, session replay; session verify names all that is wrong. Restore its journal from a copy."
        )


def load(home: Home, known: Known, name: str) -> Loaded:
    """Read a session without touching it."""
    reading = read(home.session_folder(name) / NAME)
    return loaded_of(name, reading, lambda began: load_kept(kept_flow(home, name, began), known))


def loaded_of(name: str, reading: JournalContents, flow_of: Callable[[tuple[Recorded, ...]], Flow]) -> Loaded:
    """The session of a journal that was read; ``flow_of`` gives the flow that its events were written by."""
    records = records_of(reading.events, f"Session {name}")
    flow = flow_of(records)
    state, trouble = follow_all(records, flow.conditions)
    seal, torn = last_seal(records, reading.chains), len(reading.torn)
    return Loaded(
        name, flow, records, state, reading.last_chain, torn, trouble, seal, strange=reading.strange
    )


def _to_work_on(home: Home, known: Known, name: str, records: tuple[Recorded, ...]) -> Flow:
    """The flow of a session that is resumed: it must be sound by what this version asks."""
    kept = kept_flow(home, name, records)
    try:
        return load_files(kept, known)
    except FlowError as problem:
        text = (
            f"Session {name} was begun with a flow that this version doesn't call sound, so it can't be worked on. "
            "It can be read: session show, session replay. Begin a new job. Its problems:"
        )
        raise FlowError(text, problem.problems) from problem


def kept_flow(home: Home, name: str, records: tuple[Recorded, ...]) -> Mapping[str, bytes]:
    """The files of the flow that a session was begun with."""
    return home.kept_files(began_of(name, records).digest)


def began_of(name: str, records: tuple[Recorded, ...]) -> Began:
    """The beginning of a session. JournalError where it was never written whole."""
    began = records[0].event if records else None
    if not isinstance(began, Began):
        raise JournalError(f"Session {name} has no beginning: its first event was never written whole.")
    return began
