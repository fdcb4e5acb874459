"""The index brought up in a process of its own, so that a screen stays quick and needs no pool of processes of its own.

Run as ``python -m wizard.archive.apart HOME [DIGEST]...`` it brings up the index of a home and writes a line a batch;
a flow of one of these digests passed its check before. The database's URL comes by the environment, where no list of
processes shows it, and so does the folder of the shop's ledger.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import wizard
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.bringing_up import FEW, BringingUp, Say, behind, bring_up
from wizard.errors import JournalError, SteadfootError
from wizard.sessions.many_sessions import NoClock
from wizard.sessions.session_store import Store

URL = "STEADFOOT_ARCHIVE_URL"
LEDGER = "STEADFOOT_ARCHIVE_LEDGER"
_LINE = re.compile(r"(read|looked at) (\d{1,9}) (\d{1,9})")
_WRONG = "wrong "


def bring_up_apart(index: ArchiveIndex, store: Store, say: Say) -> None:
    """Bring the index up: a few sessions here, many in another process, which ends where ``say`` gives False.

    The errors of ``bring_up``, as JournalError where they are the other process's.
    """
    if behind(index, store) <= FEW:
        bring_up(index, store, processes=1, say=say)
        return
    kept = store.home.kept
    sound = [p.name for p in kept.iterdir() if store.known(p.name)] if kept.is_dir() else []
    above = str(Path(wizard.__file__).parent.parent)
    path = os.pathsep.join(p for p in (above, os.environ.get("PYTHONPATH", "")) if p)
    environment = {
        **os.environ,
        "PYTHONPATH": path,
        "PYTHONUTF8": "1",
        "OPENBLAS_NUM_THREADS": "1",
        URL: index.url,
        LEDGER: str(store.ledger.absolute()) if store.ledger is not None else "",
    }
    command = [sys.executable, "-P", "-m", __spec__.name, str(store.root.absolute()), *sound]
    with subprocess.Popen(
        command,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        env=environment,
        encoding="utf-8",
        errors="replace",
    ) as child:
        assert child.stdout is not None
        wrong = ""
        for line in child.stdout:
            found = _LINE.fullmatch(line.strip())
            if found is not None and not say(BringingUp(found[1]), int(found[2]), int(found[3])):
                child.terminate()
                return
            wrong = line.removeprefix(_WRONG).strip() if line.startswith(_WRONG) else wrong
    if child.returncode:
        raise JournalError(
            wrong or "Bringing the archive up was broken off. What was read is kept; begin it again."
        )


def main() -> int:
    """Bring up the index that the command line and the environment name."""
    ledger = os.environ.get(LEDGER, "")
    known = frozenset(sys.argv[2:]).__contains__
    store = Store(Path(sys.argv[1]), NoClock(), known, Path(ledger) if ledger else None)

    def say(what: BringingUp, done: int, of: int) -> bool:
        print(what.value, done, of, flush=True)
        return True

    try:
        with ArchiveIndex.open(store.root, os.environ.get(URL, "")) as index:
            bring_up(index, store, say=say)
    except SteadfootError as problem:
        print(f"{_WRONG}{' '.join(str(problem).split())}", flush=True)
        return problem.exit_code
    return 0


if __name__ == "__main__":
    sys.exit(main())
