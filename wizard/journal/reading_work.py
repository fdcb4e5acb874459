"""Processes beside this one that read sessions."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context

from wizard.errors import JournalError


@contextmanager
def reading_work(processes: int) -> Iterator[ProcessPoolExecutor]:
    """So many processes, each begun from nothing: one that is forked beside threads may never come to its first line.

    Broken off, what was not begun is not begun any more. JournalError where the system ended one of them.
    """
    pool = ProcessPoolExecutor(processes, mp_context=get_context("spawn"))
    try:
        yield pool
    except BrokenProcessPool as error:
        raise JournalError(
            "A process that read sessions was ended by the system. What was read by then is kept: begin it again, or "
            "with --processes 1."
        ) from error
    finally:
        pool.shutdown(wait=True, cancel_futures=True)
