"""One try: a job in a process of its own, a fault in it, and what the next start of the program finds on the disk."""

from __future__ import annotations

import os
import random
import shutil
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from tempfile import mkdtemp

from tests.faults.fault_kinds import Fault, FaultKind, Outcome, Workload
from tests.faults.faulty_calls import AT, BROKEN, CUTS, END, FaultyCalls
from tests.faults.worked_job import PHOTO, SESSION, known_home, new_home, prepared, store_at
from wizard.engine.messages import commands as c
from wizard.errors import JournalError, SteadfootError
from wizard.journal.journal_reader import NAME, read
from wizard.sessions.session_verification import verified
from wizard.sessions.sweeping import sweep

WORK: dict[Workload, Callable[[Path, Callable[[str], None]], None]] = {
    Workload.NEW_HOME: new_home, Workload.KNOWN_HOME: known_home,
}  # fmt: skip
DAY = 86_400.0
HEAD = b"[[event]]\n"
REFUSED, TRACEBACK = 3, 4
"""Exit codes of a job that the disk stopped in words, and of one that ended in what nobody should see."""


@dataclass(frozen=True)
class Reference:
    """The same job with no fault: its journal, where each event of it ends, and how many calls of each kind it made."""

    events: tuple[bytes, ...]
    calls: dict[FaultKind, int]
    before: int


@lru_cache(maxsize=4)
def reference(workload: Workload) -> Reference:
    """Played once, in processes of their own: what a fault may come at is counted there."""
    calls: dict[FaultKind, int] = {}
    counted: dict[frozenset[str] | None, int] = {}
    journal, before = b"", 0
    for kind in FaultKind:
        if AT.get(kind) in counted:
            calls[kind] = counted[AT.get(kind)]
            continue
        base = Path(mkdtemp(prefix="faults-"))
        home = base / "disk" / "home"
        _ready(workload, home)
        before = _count(home)
        code, said = _worked(Fault(kind, -1, workload), home, base / "left")
        assert code == 0, said
        count = int(next(line.split()[1] for line in said if line.startswith("calls ")))
        journal = (home / "sessions" / SESSION / NAME).read_bytes()
        calls[kind] = counted[AT.get(kind)] = count
        shutil.rmtree(base)
    return Reference(_blocks(journal), calls, before)


def _count(home: Path) -> int:
    path = home / "sessions" / SESSION / NAME
    return len(read(path).events) if path.exists() else 0


def _blocks(journal: bytes) -> tuple[bytes, ...]:
    """The journal's blocks, each whole, in order."""
    return tuple(HEAD + part for part in journal.split(HEAD)[1:])


def faults(tries: int, seed: int) -> list[Fault]:
    """So many faults, of every kind alike, at calls by chance over both workloads."""
    chance, found = random.Random(seed), []
    for number in range(tries):
        kind = tuple(FaultKind)[number % len(FaultKind)]
        workload = chance.choice(tuple(Workload))
        count = reference(workload).calls[kind]
        if count:
            found.append(Fault(kind, chance.randrange(count), workload, chance.randrange(10**6)))
    return found


def tried(fault: Fault) -> Outcome:
    """Put one fault under a job, look at what is left, take it up again."""
    base = Path(mkdtemp(prefix="faults-"))
    home, survivors = base / "disk" / "home", base / "left"
    outcome = Outcome(fault)
    try:
        _ready(fault.workload, home)
        code, said = _worked(fault, home, survivors)
        outcome.came = "came" in said or code == END
        if code == BROKEN:
            outcome.stuck = "the harness itself broke"
            return outcome
        if code == TRACEBACK:
            outcome.stuck = "the job ended in a traceback: " + " | ".join(said[-6:])
            return outcome
        left = survivors / "home" if fault.kind in CUTS and outcome.came else home
        _look(outcome, left, [line for line in said if line[:1].isdigit() or line.startswith("photo")])
    except BaseException as error:
        if isinstance(error, KeyboardInterrupt):
            raise
        outcome.stuck = f"{type(error).__name__}: {error}"
    finally:
        shutil.rmtree(base, ignore_errors=True)
    return outcome


def _ready(workload: Workload, home: Path) -> None:
    home.parent.mkdir(parents=True)
    if workload is Workload.KNOWN_HOME:
        prepared(home)


def _worked(fault: Fault, home: Path, survivors: Path) -> tuple[int, list[str]]:
    """The job in a process of its own: its exit code, and the lines that it acknowledged."""
    reader, writer = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reader)
        os._exit(_child(fault, home, survivors, writer))
    os.close(writer)
    with os.fdopen(reader, "rb") as heard:
        said = heard.read().decode().splitlines()
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), said


def _child(fault: Fault, home: Path, survivors: Path, writer: int) -> int:
    say = os.write
    calls = FaultyCalls(fault, home, survivors)
    calls.know()

    def acknowledge(text: str) -> None:
        say(writer, f"{text}\n".encode())

    code = 0
    calls.put_under()
    try:
        WORK[fault.workload](home, acknowledge)
    except SteadfootError as problem:
        code = REFUSED
        acknowledge(f"refused {type(problem).__name__}")
    except BaseException:
        code = TRACEBACK
        acknowledge(traceback.format_exc())
    if calls.came:
        acknowledge("came")
    acknowledge(f"calls {calls.counted}")
    return code


def _look(outcome: Outcome, home: Path, said: list[str]) -> None:
    """What the next start finds: every acknowledged event, no other, what was repaired said, and the job goes on."""
    whole = reference(outcome.fault.workload)
    outcome.acknowledged = max((int(line) for line in said if line[0].isdigit()), default=0)
    journal = home / "sessions" / SESSION / NAME
    data = journal.read_bytes() if journal.exists() else b""
    kept = _kept(whole, data)
    outcome.lost = max(0, max(outcome.acknowledged, whole.before) - kept)
    if not data:
        if home.exists():
            sweep(store_at(home).home, time.time() + DAY)
        return
    _photos(outcome, journal.parent, said)
    torn = len(data) != len(b"".join(whole.events[:kept]))
    store = store_at(home)
    store.clock.move(86400)
    try:
        with store.resume(SESSION) as opened:
            if torn and not opened.recovered:
                outcome.unsaid = "something was cut off, and nothing says so"
            if opened.session.state.seq < kept:
                outcome.lost = kept - opened.session.state.seq
            opened.session.do(c.AddNote("Taken up again."))
    except JournalError as problem:
        if kept or outcome.acknowledged:
            outcome.stuck = str(problem)
        return
    after = journal.read_bytes()
    if not after.startswith(b"".join(whole.events[:kept])):
        outcome.invented = 1
    found = verified(store, SESSION)
    if not found.chain.ok or found.read or found.breaches:
        outcome.stuck = f"verify: {found.chain.problems or found.read or found.breaches}"


def _kept(whole: Reference, data: bytes) -> int:
    """How many of the job's events are there, byte for byte, in their order."""
    count, at = 0, 0
    for event in whole.events:
        if not data.startswith(event.rstrip(b"\n"), at):
            break
        count, at = count + 1, at + len(event)
    return count


def _photos(outcome: Outcome, folder: Path, said: list[str]) -> None:
    for line in said:
        if line.startswith("photo "):
            path = folder / "attachments" / line.split()[1]
            if not path.exists() or path.read_bytes() != PHOTO:
                outcome.lost += 1
                outcome.notes.append("the photo")
