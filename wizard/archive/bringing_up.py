"""The index brought up to the journals: what is new, changed or gone, a batch at a time, each kept before the next.

Interrupted anywhere, it loses the batch in hand, and the next one finds that missing. First the facts of every session
are read, so that all can be found; then each is looked at, which takes many times as long. What reads a session is
imported with the first that is to be read: where nothing changed, a list comes from the index alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum, unique
from functools import partial
from hashlib import sha256
from typing import TYPE_CHECKING, TypeVar

from wizard import VERSION
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_rows import compare_anew, look_after, noted, take_stock
from wizard.archive.folder_scan import fingerprint_of, fingerprints
from wizard.sessions.session_store import Store

if TYPE_CHECKING:
    from wizard.review.flags.thresholds import Thresholds

BATCH = 20
"""So many sessions are read, then kept in one transaction."""

FEW = 12
"""Up to so many are read in this process: to begin others takes longer."""

T = TypeVar("T")


@unique
class BringingUp(StrEnum):
    """What is being done: the facts of sessions read, or sessions looked at."""

    READ = "read"
    APPRAISED = "looked at"


Say = Callable[[BringingUp, int, int], bool]
"""Is told what is being done, how many are done, and of how many; False ends it after this batch."""


@dataclass(frozen=True, slots=True)
class BroughtUp:
    """How many sessions were read, looked at and forgotten."""

    read: int = 0
    appraised: int = 0
    gone: int = 0


def go_on(_what: BringingUp, _done: int, _of: int) -> bool:
    """Say nothing, and go on."""
    return True


def bring_up(
    index: ArchiveIndex, store: Store, closely: bool = True, processes: int = 2, say: Say = go_on
) -> BroughtUp:
    """Bring the index up; ``closely``: look at each as well. Nothing of a session is changed.

    UsageError where the shop's own thresholds can't be read; JournalError if the database refuses.
    """
    here, there = fingerprints(store.home), index.fingerprints()
    gone = [name for name in there if name not in here]
    if gone:
        index.put((), gone)
    changed = [name for name, fingerprint in here.items() if there.get(name) != fingerprint]
    read = _read(index, store, changed, processes, say)
    if read:
        with index.begin() as db:
            take_stock(db, index.text)
            look_after(db, changed)
    if not closely or read < len(changed):
        return BroughtUp(read, 0, len(gone))
    from wizard.review.flags import thresholds as flag_thresholds

    rules = flag_thresholds.load(store.root)
    index.look_anew(_rules(rules))
    _compare_anew(index, store)
    return BroughtUp(read, _look(index, store, index.unappraised(), rules, processes, say), len(gone))


def behind(index: ArchiveIndex, store: Store) -> int:
    """How many sessions are to be read, looked at or forgotten; all may be where a ledger went on."""
    from wizard.review.flags import thresholds as flag_thresholds
    from wizard.sessions.trusting.ledger_compared import ledgers_compared

    here, there = fingerprints(store.home), index.fingerprints()
    rules = _rules(flag_thresholds.load(store.root))
    changed = {name for name in (*here, *there) if here.get(name) != there.get(name)}
    with index.begin() as db:
        ledgers = noted(db, "ledgers")
    looked = index.rules == rules and ledgers_compared(store.root, store.ledger).state == ledgers
    return len(changed | set(index.unappraised() if looked else here))


def take(index: ArchiveIndex, store: Store, session: str) -> None:
    """Bring up one session, as it is closed, unless it is. The same errors."""
    from wizard.archive.facts_reading import facts_of
    from wizard.archive.session_appraisal import appraise
    from wizard.review.flags import thresholds as flag_thresholds
    from wizard.sessions.many_sessions import ManySessions, NoClock

    one = ManySessions(store.root, NoClock(), store.known, store.ledger)
    fingerprint = fingerprint_of(store.home.session_folder(session))
    if index.fingerprints().get(session) == fingerprint and session not in index.unappraised():
        return
    facts = facts_of(one, session)
    rules = flag_thresholds.load(store.root)
    index.put([(fingerprint, facts)])
    index.look_anew(_rules(rules))
    index.appraised([appraise(one, facts, rules)])


def _compare_anew(index: ArchiveIndex, store: Store) -> None:
    """Have those looked at again of which the ledgers say something new since they were compared with them."""
    from wizard.sessions.trusting.ledger_compared import ledgers_compared, named_since

    now = ledgers_compared(store.root, store.ledger).state
    with index.begin() as db:
        before = noted(db, "ledgers")
        if now != before:
            compare_anew(db, now, named_since(store.root, store.ledger, before))


def _rules(thresholds: Thresholds) -> str:
    from wizard.archive.risk import POINTS

    text = repr((sorted((rule, sorted(table.items())) for rule, table in thresholds.rules.items()), POINTS))
    return f"{VERSION} {sha256(text.encode('utf-8')).hexdigest()[:16]}"


def _read(index: ArchiveIndex, store: Store, names: Sequence[str], processes: int, say: Say) -> int:
    if not names:
        return 0
    from wizard.archive.one_session import facts_at

    work = partial(facts_at, store.root, store.known, store.ledger)
    return _through(work, index.put, names, processes, partial(say, BringingUp.READ))


def _look(
    index: ArchiveIndex, store: Store, names: Sequence[str], rules: Thresholds, processes: int, say: Say
) -> int:
    if not names:
        return 0
    from wizard.archive.one_session import look_at

    work = partial(look_at, store.root, store.known, store.ledger, rules)
    return _through(work, index.appraised, names, processes, partial(say, BringingUp.APPRAISED))


def _through(
    work: Callable[[str], T],
    put: Callable[[list[T]], object],
    names: Sequence[str],
    processes: int,
    say: Callable[[int, int], bool],
) -> int:
    """Put into the index what the work makes of each session, until ``say`` says no; how many were."""
    done = 0
    if not say(0, len(names)):
        return 0
    with _each(work, names, processes) as batches:
        for batch in batches:
            put(batch)
            done += len(batch)
            if not say(done, len(names)):
                break
    return done


@contextmanager
def _each(work: Callable[[str], T], names: Sequence[str], processes: int) -> Iterator[Iterator[list[T]]]:
    """What the work makes of each, a batch at a time; in other processes where there are many."""
    if processes <= 1 or len(names) <= FEW:
        yield ([work(name) for name in some] for some in _batches(names, FEW))
        return
    from wizard.foreign.work_beside import READ, work_beside

    with work_beside(processes, READ) as pool:
        yield (list(pool.map(work, some, chunksize=5)) for some in _batches(names, BATCH))


def _batches(names: Sequence[str], size: int) -> Iterator[Sequence[str]]:
    return (names[at : at + size] for at in range(0, len(names), size))
