"""A session that begins with the events of a case: for trying a flow from one of its steps on, never for a customer."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from wizard.engine.messages.events import Began, Recorded
from wizard.engine.session import Session
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Flow
from wizard.flow.parsing import flow_files
from wizard.journal.journal_writer import Journal
from wizard.sessions.copy_keeper import CopyKeeper
from wizard.sessions.session_handle import JournalHandle, Opened
from wizard.sessions.session_store import Store
from wizard.sessions.trusting.seal_signing import SealSigner


def opened_from(store: Store, flow: Flow, files: Mapping[str, bytes], records: Sequence[Recorded]) -> Opened:
    """A session of a store that stands where these events end, as if they had come just now: nothing is asked anew.

    JournalLost if the disk refuses.
    """
    home = store.home
    home.keep_files(flow.digest, {n: d for n, d in files.items() if flow_files.belongs(n)})
    name = home.new_session(store.clock.wall().astimezone().date())
    journal = Journal.create(home.session_folder(name))
    try:
        copying = CopyKeeper(home.root, journal.path, store.clock.mono)
        writer = JournalHandle(journal, SealSigner(home.root, store.clock), store.ledger_folder, copying)
        own = tuple(_named(record, name) for record in records)
        for record in own:
            writer(record)()
        return Opened(name, Session(JobView.of(flow, fold_all(own)), writer, store.clock), writer)
    except BaseException:
        journal.close()
        raise


def _named(record: Recorded, session: str) -> Recorded:
    """An event under the name of another session."""
    event = record.event
    return replace(record, event=replace(event, session=session)) if isinstance(event, Began) else record
