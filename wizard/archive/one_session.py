"""One session read, or looked at, in whichever process: what brings the index up does this for many."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from wizard.archive.facts_reading import facts_of
from wizard.archive.folder_scan import fingerprint_of
from wizard.archive.session_appraisal import SessionAppraisal, appraise
from wizard.archive.session_facts import SessionFacts
from wizard.flow.loading.flow_loader import Known
from wizard.review.flags.thresholds import Thresholds
from wizard.sessions.many_sessions import ManySessions, NoClock


@lru_cache(maxsize=4)
def _store(home: Path, known: Known, ledger: Path | None) -> ManySessions:
    return ManySessions(home, NoClock(), known, ledger)


def facts_at(home: Path, known: Known, ledger: Path | None, session: str) -> tuple[str, SessionFacts]:
    """The fingerprint before the facts: what changes while they are read is read once more."""
    store = _store(home, known, ledger)
    store.forget()
    fingerprint = fingerprint_of(store.home.sessions / session)
    return fingerprint, facts_of(store, session)


def look_at(
    home: Path, known: Known, ledger: Path | None, rules: Thresholds, session: str
) -> SessionAppraisal:
    """What a closer look at a session finds; ``ledger``: the folder that was named for the shop's."""
    store = _store(home, known, ledger)
    store.forget()
    return appraise(store, facts_of(store, session), rules)
