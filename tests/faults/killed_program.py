"""The real program, in a pseudo-terminal, under keys by chance, and ended at any moment: what is left goes on."""

from __future__ import annotations

import os
import random
import shutil
import signal
import time
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path
from tempfile import mkdtemp

from tests.helpers.terminal_program.terminal import KEYS, PACE, TerminalAhead
from wizard.cli.context import CommandContext
from wizard.engine.messages import commands as c
from wizard.errors import JournalError
from wizard.journal.journal_reader import NAME
from wizard.sessions.session_verification import verified

PRESSED = (*"123456789", *"111111112233", *(["enter"] * 8), "escape", "escape", "f1", "f3", *"abcimn0.")
"""Keys, those that get on most of all."""

LEPT = 0.5
"""Seconds after a leap: the program's own watch looks at its clocks meanwhile."""

SECOND_PROGRAM = 2.0
"""Seconds that a second program has to begin on the session, or to be refused."""


class Ending(StrEnum):
    """How the program ends, or what comes over it. The values are what the table says."""

    KILLED = "killed"
    HUNG_UP = "its terminal gone"
    SUSPENDED = "suspended for a second, then killed"
    TWICE = "a second one begins on the same session, then both are killed"
    SLEPT = "its computer sleeps for a day, then it is killed"
    SET_BACK = "its clock is put back by a day, then it is killed"


LEAPS = {Ending.SLEPT: 86_400.0, Ending.SET_BACK: -86_400.0}
"""Seconds that the wall clock leaps by in the middle, the steady clock going on as ever."""


@dataclass
class Killed:
    """What came of one run: ``seen`` events on the disk while it ran, ``kept`` after; what is wrong, in words."""

    ending: Ending
    seen: int = 0
    kept: int = 0
    wrong: str = ""


def killed(number: int, seed: int) -> Killed:
    """One run. Its home is thrown away."""
    chance, base = random.Random(f"{seed} {number}"), Path(mkdtemp(prefix="killed-"))
    found = Killed(tuple(Ending)[number % len(Ending)])
    home = base / "home"
    running = [TerminalAhead(home, "job", "--flow", "washer-shake")]
    try:
        running[0].wait("Who does this job?", seconds=60)
        running[0].type("R. Vale")
        count = chance.randrange(5, 90)
        for pressed in range(count):
            if found.ending in LEAPS and pressed == count // 2:
                running[0].leap(LEAPS[found.ending])
                time.sleep(LEPT)
            key = chance.choice(PRESSED)
            if chance.random() < 0.8:
                running[0].pass_by(PACE)
            running[0].child.send(KEYS.get(key, key))
            time.sleep(chance.choice((0.02, 0.1, 0.3)))
            running[0].read()
            found.seen = max(found.seen, _events(home))
        if "Traceback" in running[0].text:
            found.wrong = f"a traceback: {running[0].text}"
        if found.ending is Ending.TWICE:
            running.append(TerminalAhead(home, "job"))
            time.sleep(SECOND_PROGRAM)
        _end(running, found.ending)
        _look(found, home)
    except Exception as error:
        found.wrong = f"{type(error).__name__}: {error}"
    finally:
        for one in running:
            one.child.close(force=True)
        shutil.rmtree(base, ignore_errors=True)
    return found


def _events(home: Path) -> int:
    """How many whole events are on the disk: as many seals."""
    return max(
        (p.read_bytes().count(b"\n[event.seal]\n") for p in home.glob(f"sessions/*/{NAME}")), default=0
    )


def _end(running: list[TerminalAhead], ending: Ending) -> None:
    if ending is Ending.HUNG_UP:
        os.kill(running[0].child.pid, signal.SIGHUP)
        time.sleep(1.5)
    if ending is Ending.SUSPENDED:
        os.kill(running[0].child.pid, signal.SIGSTOP)
        time.sleep(1.0)
        os.kill(running[0].child.pid, signal.SIGCONT)
    for one in running:
        if one.child.isalive():
            os.kill(one.child.pid, signal.SIGKILL)
    for one in running:
        one.child.wait()


def _look(found: Killed, home: Path) -> None:
    """What was on the disk is there, sound by the chain and by the rules, and the job takes another event."""
    store = CommandContext(home).store
    found.kept = _events(home)
    for session in store.home.list_ids():
        try:
            with store.resume(session) as opened:
                opened.session.do(c.AddNote("Taken up again."))
        except JournalError as problem:
            found.wrong = str(problem)
            return
        checked = verified(store, session)
        if not checked.chain.ok or checked.read or checked.breaches:
            found.wrong = f"verify: {checked.chain.problems or checked.read or checked.breaches}"
    if found.kept < found.seen:
        found.wrong = f"{found.seen - found.kept} events are gone"
