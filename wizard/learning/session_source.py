"""Observations from sessions on disk: each read, verified in all its parts, and left out where it is not what it seems.

Many sessions share one flow: it is read once in each process. Two processes verify side by side.
"""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache, partial
from pathlib import Path
from types import MappingProxyType

from wizard.domain.vocabulary import JobState
from wizard.errors import SteadfootError, UsageError
from wizard.flow.loading.flow_loader import Known, unknown
from wizard.foreign.work_beside import READ, work_beside
from wizard.journal.folder_digest import session_digest
from wizard.journal.home_folder import Home
from wizard.journal.session_name import EXAMPLE, is_session
from wizard.learning.observation import LeftOut, Observation, WhyLeftOut, observe
from wizard.learning.session_memory import Remembered, SessionMemory
from wizard.sessions.many_sessions import ManySessions, NoClock
from wizard.sessions.session_verification import SessionVerification, verified
from wizard.sessions.verifying.damaged_end import UNTOLD

AT_A_TIME = 8
"""So many sessions a process is given at once."""
KEPT = 400
"""After so many sessions what was read is remembered, whatever may come."""
_ALLOCATED = 100_000
"""After so many new objects a process that reads looks for cycles: reading leaves hardly any, and searching for them
took a twentieth of it.
"""
Say = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class SessionPlace:
    """A session and the home it lies in."""

    home: Path
    session: str

    def __str__(self) -> str:
        """The folder of the session, as it is remembered."""
        return str(self.home.resolve() / self.session)


NOBODY: Mapping[SessionPlace, str] = MappingProxyType({})


def places(home: Path, named: Sequence[str]) -> tuple[SessionPlace, ...]:
    """Return the sessions that are named: ids of this home, or folders that are homes of their own; all of this home
    where none is. UsageError where there is no such session or folder.
    """
    found: list[SessionPlace] = []
    for name in named or (str(home),):
        root = Path(name)
        if is_session(name):
            name = Home(home).find(name)
            Home(home).session_folder(name)
            found.append(SessionPlace(home, name))
        elif (root / "sessions").is_dir() or root == home:
            found += [SessionPlace(root, one) for one in reversed(Home(root).list_ids())]
        else:
            raise UsageError(
                f"{name}: neither a session of this home nor a folder with sessions. Name an id such as "
                f"{EXAMPLE}, or a home folder."
            )
    return tuple(dict.fromkeys(found))


def observations(
    flow_id: str,
    some: Sequence[SessionPlace],
    processes: int,
    known: Known = unknown,
    say: Say | None = None,
    memory: SessionMemory | None = None,
    vouched: Mapping[SessionPlace, str] = NOBODY,
) -> tuple[tuple[Observation, ...], tuple[LeftOut, ...]]:
    """Return what these sessions say, and which of them say nothing and why; in the order given.

    ``known``: which flow digests were checked already. ``say`` is told how many are done, and of how many. Sessions
    that ``memory`` knows and that have not changed are not read again; it is written now and then, and where the
    reading is broken off, so that the next one goes on there. ``vouched``: the digests of folders whose sessions were
    verified by the same rules; those that still have it are read, and not verified again.
    """
    kept = memory.load() if memory is not None else {}
    ask = memory is not None or bool(vouched)
    digests = {place: session_digest(Home(place.home), place.session) for place in some} if ask else {}
    found: dict[SessionPlace, Observation | LeftOut] = {}
    for place in some:
        one = kept.get(str(place))
        if one is not None and one.result and (one.digest, one.flow) == (digests[place], flow_id):
            found[place] = one.result
    rest = [(p, bool(digests.get(p)) and vouched.get(p) == digests[p]) for p in some if p not in found]
    first = len(found)
    try:
        each = _each(flow_id, rest, processes, known)
        for done, ((place, _sound), words) in enumerate(zip(rest, each, strict=True), 1):
            found[place] = words
            if say is not None:
                say(first + done, len(some))
            if memory is not None and done % KEPT == 0:
                memory.keep({**kept, **_to_keep(flow_id, found, digests)})
    finally:
        if memory is not None and rest:
            memory.keep({**kept, **_to_keep(flow_id, found, digests)})
    every = [found[place] for place in some]
    return (
        tuple(one for one in every if isinstance(one, Observation)),
        tuple(one for one in every if isinstance(one, LeftOut)),
    )


def _to_keep(
    flow_id: str, found: Mapping[SessionPlace, Observation | LeftOut], digests: Mapping[SessionPlace, str]
) -> dict[str, Remembered]:
    """What is worth remembering: what was verified."""
    return {
        str(place): Remembered.of(digests[place], flow_id, words)
        for place, words in found.items()
        if digests[place] and (isinstance(words, Observation) or words.why is WhyLeftOut.FORGED)
    }


def _each(
    flow_id: str, some: Sequence[tuple[SessionPlace, bool]], processes: int, known: Known
) -> Iterable[Observation | LeftOut]:
    if processes == 1 or len(some) <= AT_A_TIME:
        return (read_one(flow_id, known, place, sound) for place, sound in some)
    return _spread(flow_id, some, processes, known)


def _spread(
    flow_id: str, some: Sequence[tuple[SessionPlace, bool]], processes: int, known: Known
) -> Iterator[Observation | LeftOut]:
    """The same by several processes."""
    batches = [some[at : at + AT_A_TIME] for at in range(0, len(some), AT_A_TIME)]
    with work_beside(processes, READ) as pool:
        for found in pool.map(partial(_read_some, flow_id, known), batches):
            yield from found


def _read_some(
    flow_id: str, known: Known, some: Sequence[tuple[SessionPlace, bool]]
) -> list[Observation | LeftOut]:
    found = [read_one(flow_id, known, place, sound) for place, sound in some]
    _settle()
    return found


@cache
def _settle() -> None:
    """In a process that does nothing else: the flow and the program, which stay, are searched for cycles no more."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(_ALLOCATED)


@lru_cache(maxsize=8)
def _store(home: Path, known: Known) -> ManySessions:
    return ManySessions(home, NoClock(), known)


def read_one(flow_id: str, known: Known, place: SessionPlace, sound: bool = False) -> Observation | LeftOut:
    """Return what one session says. What is not closed, or of another flow, is not verified; nothing is altered.

    ``sound``: it was verified by the same rules, and no byte of it changed since.
    """
    store = _store(place.home, known)
    store.forget()
    try:
        loaded = store.load(place.session)
        if loaded.state.flow != flow_id:
            return LeftOut(place.session, WhyLeftOut.OTHER_FLOW, loaded.state.flow)
        if loaded.strange:
            return LeftOut(place.session, WhyLeftOut.UNREADABLE, UNTOLD)
        if loaded.state.job is not JobState.CLOSED:
            return LeftOut(place.session, WhyLeftOut.NOT_CLOSED)
        checked = None if sound else verified(store, place.session)
    except SteadfootError as problem:
        return LeftOut(place.session, WhyLeftOut.UNREADABLE, str(problem).splitlines()[0])
    if checked is not None and not checked.ok:
        return LeftOut(place.session, WhyLeftOut.FORGED, _wrong(checked))
    return observe(loaded.view, loaded.records)


def _wrong(checked: SessionVerification) -> str:
    """The first thing that is wrong with a session."""
    parts = (*((checked.flow,) if checked.flow else ()), *checked.attachments, *checked.papers)
    causes = (
        *(problem.text for problem in checked.chain.problems),
        *(f"event {breach.seq}: {breach.says}" for breach in checked.breaches),
        *(f"{part.name}: {part.trouble}" for part in parts if not part.ok),
        *checked.unsigned,
        checked.read,
    )
    return next((one for one in causes if one), "")
