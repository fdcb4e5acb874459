"""A home with proved jobs of worn dampers on the small test flow, made once and copied."""

from __future__ import annotations

import atexit
import shutil
from functools import lru_cache
from pathlib import Path
from tempfile import mkdtemp

from tests.helpers.stored_sessions import store_at
from tests.helpers.wandering_jobs import Watched
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.bringing_up import bring_up
from wizard.documents.files import paper_files
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c

JOBS = 9


def proved_session(root: Path) -> str:
    """One proved job of worn dampers in a home; its id."""
    job = Watched(root)
    job.find_worn()
    job.until(NextKind.CLOSE)
    done = paper_files.write(job.opened.folder, job.view)
    job.do(c.RecordHandover(done.handover.name, done.sha256, done.beside))
    job.do(c.Close())
    paper_files.seal(job.opened.folder, job.state, job.opened.seal)
    job.opened.close()
    (job.opened.folder / "journal.lock").unlink(missing_ok=True)
    return str(job.opened.name)


@lru_cache(maxsize=1)
def _made() -> Path:
    home = Path(mkdtemp(prefix="learned-"))
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    for _ in range(JOBS):
        proved_session(home)
    return home


@lru_cache(maxsize=1)
def _indexed() -> Path:
    home = Path(mkdtemp(prefix="indexed-"))
    atexit.register(shutil.rmtree, home, ignore_errors=True)
    learned_home(home)
    with ArchiveIndex.open(home) as index:
        bring_up(index, store_at(home), processes=1)
    return home


def learned_home(root: Path) -> Path:
    """That home, copied to ``root``: nine proved sessions."""
    shutil.copytree(_made(), root, dirs_exist_ok=True)
    return root


def indexed_home(root: Path) -> Path:
    """The same with its index brought up: what is asked of it reads no journal again, as no file's time changes."""
    shutil.copytree(_indexed(), root, dirs_exist_ok=True)
    return root
