"""Processes beside this one, each begun from nothing."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context, parent_process
from multiprocessing.process import BaseProcess
from threading import Thread

from wizard.errors import SteadfootError

READ = (
    "A process that read sessions was ended by the system. What was read by then is kept: begin it again, or with "
    "--processes 1."
)
"""What is said where one that reads sessions is ended."""


@contextmanager
def work_beside(
    processes: int, ended: str, begin: Callable[[], object] | None = None
) -> Iterator[ProcessPoolExecutor]:
    """So many processes, each begun from nothing: one that is forked beside threads may never come to its first line.
    Each calls ``begin`` first.

    Broken off, what was not begun is not begun any more. SteadfootError with ``ended`` where the system ended one.
    """
    pool = ProcessPoolExecutor(
        processes, mp_context=get_context("spawn"), initializer=_begun, initargs=(begin,)
    )
    try:
        yield pool
    except BrokenProcessPool as error:
        raise SteadfootError(ended) from error
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begun(begin: Callable[[], object] | None) -> None:
    """Begin a process: it ends with the one that began it, however that ends."""
    began = parent_process()
    if began is not None:
        Thread(target=_end_with, args=(began,), daemon=True).start()
    if begin is not None:
        begin()


def _end_with(began: BaseProcess) -> None:
    began.join()
    os._exit(1)
