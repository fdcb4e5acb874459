"""Trials side by side, each in a fresh process; one that doesn't end is ended."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from multiprocessing.context import ForkServerContext, SpawnContext
from typing import TypeVar

from tests.mutation import trial
from tests.mutation.trial import TrialOutcome

T = TypeVar("T")

HUNG = "it did not end"
DIED = "the process died"


class Pool:
    """Runs trials, so many at a time."""

    def __init__(self, beside: int) -> None:
        # Before the process is made that the others come from: sets and threads are the same in each.
        os.environ.update(PYTHONHASHSEED="0", OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
        os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
        self._beside = beside
        self._context: ForkServerContext | SpawnContext = _context()

    def one(
        self, path: str, number: int | None, tests: tuple[str, ...], cpu: float, wall: float
    ) -> TrialOutcome:
        """The outcome of one trial: of the processor's time a test may take ``cpu`` seconds, by the clock all of them
        ``wall``.
        """
        here, there = self._context.Pipe(duplex=False)
        process = self._context.Process(target=trial.run, args=(path, number, tests, cpu, there), daemon=True)
        process.start()
        there.close()
        try:
            if not here.poll(wall):
                return TrialOutcome(False, HUNG, 0, wall)
            outcome: TrialOutcome = here.recv()
            return outcome
        except EOFError:
            return TrialOutcome(False, DIED, 0, 0.0)
        finally:
            process.kill()
            process.join()
            here.close()

    def each(self, items: Iterable[T], work: Callable[[T], None]) -> None:
        """Do the work for each item, so many at a time."""
        with ThreadPoolExecutor(self._beside) as threads:
            for done in [threads.submit(work, item) for item in items]:
                done.result()


def _context() -> ForkServerContext | SpawnContext:
    if "forkserver" not in multiprocessing.get_all_start_methods():
        return multiprocessing.get_context("spawn")
    context = multiprocessing.get_context("forkserver")
    context.set_forkserver_preload(["tests.mutation.preload"])
    return context
