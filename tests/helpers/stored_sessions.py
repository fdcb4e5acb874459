"""A session on disk with everything that one can have, made once and copied."""

from __future__ import annotations

import atexit
import shutil
from functools import lru_cache, partial
from pathlib import Path
from tempfile import mkdtemp

from tests.helpers.jobs import GOOD, HandClock
from wizard.documents.files import paper_files
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.flow.parsing import flow_files as files
from wizard.sessions import transfer
from wizard.sessions.parcel_reader import read_parcel
from wizard.sessions.session_store import Store

SESSION = "2026-03-02-a"


def sound(_digest: str) -> bool:
    """Every flow is taken as checked: the checks have tests of their own."""
    return True


def store_at(root: Path) -> Store:
    """A store that knows every flow as checked."""
    return Store(root, HandClock(), known=sound)


@lru_cache(maxsize=1)
def _made() -> Path:
    """A home with one closed session: facts, a look, a photo, a note, the handover."""
    from tests.helpers.wandering_jobs import Watched

    home = Path(mkdtemp(prefix="stored-"))
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    job = Watched(home)
    job.through("quick")
    photo = home / "photo.jpg"
    photo.write_bytes(b"\xff\xd8 a picture of the plug")
    job.opened.attach(photo, "The plug")
    photo.unlink()
    job.do(c.AddNote("The floor is wet."))
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    done = paper_files.write(job.opened.folder, job.view)
    job.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
    job.do(c.Close())
    paper_files.seal(job.opened.folder, job.state, job.opened.seal)
    job.opened.close()
    (job.opened.folder / "journal.lock").unlink(missing_ok=True)
    return home


def home_at(root: Path) -> Store:
    """That home, copied to ``root``."""
    shutil.copytree(_made(), root, dirs_exist_ok=True)
    return store_at(root)


def import_(store: Store, source: Path) -> transfer.Imported:
    """Bring a session in, its zip read in this process, which knows every flow as checked."""
    return transfer.import_(store, source, partial(read_parcel, known=store.known))


def flow_files() -> dict[str, bytes]:
    """The files of the small test flow."""
    return files.read_folder(GOOD)
