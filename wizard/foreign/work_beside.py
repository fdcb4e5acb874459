"""Processes beside this one, each begun from nothing."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context

from wizard.errors import SteadfootError

READ = (
    "A process that read sessions was ended by the system. What was read by then is kept: begin it again, or with "
    "--processes 1."
)
"""What is said where one that reads sessions is ended."""


@contextmanager
def work_beside(processes: int, ended: str) -> Iterator[ProcessPoolExecutor]:
    """So many processes, each begun from nothing: one that is forked beside threads may never come to its first line.

    Broken off, what was not begun is not begun any more. SteadfootError with ``ended`` where the system ended one.
    """
    pool = ProcessPoolExecutor(processes, mp_context=get_context("spawn"))
    try:
        yield pool
    except BrokenProcessPool as error:
        raise SteadfootError(ended) from error
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
