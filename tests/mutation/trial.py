"""One mutant and its tests, in a process of its own: imported in the place of its module, then pytest as ever."""

from __future__ import annotations

import importlib.abc
import importlib.machinery
import importlib.util
import os
import sys
import time
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from pathlib import Path
from types import ModuleType

import hypothesis
import pytest

from tests.mutation import warm
from tests.mutation.sites import changed

EXAMPLES = 40
"""Examples of a property, where its test names no number of its own."""

MEMORY = 6_000_000_000
"""Bytes that a trial may take: a loop that no longer ends may fill lists."""

OPTIONS = (
    *("-o", "addopts=", "-p", "no:cacheprovider", "-m", "not nightly and not oracle", "-x", "-q"),
    # What is imported once for all trials can't be rewritten, and no plugin is loaded that these tests do without.
    *("-W", "ignore::pytest.PytestAssertRewriteWarning", "-W", "ignore::pytest.PytestConfigWarning"),
    *("-p", "no:unraisableexception", "-p", "no:threadexception"),
)


@dataclass(frozen=True)
class TrialOutcome:
    """How a trial ended: whether all tests passed, which failed first, how many ran, the seconds it took, and the
    processor's of the longest test.
    """

    passed: bool
    first: str
    tests: int
    seconds: float
    longest: float = 0.0


class Mutated(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Finds one module, and runs its changed text in its place."""

    def __init__(self, path: str, number: int) -> None:
        self.path, self.number = Path(path).resolve(), number
        self.module = module_of(path)

    def find_spec(
        self, name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if name != self.module:
            return None
        return importlib.util.spec_from_file_location(name, self.path, loader=self)

    def create_module(self, spec: importlib.machinery.ModuleSpec) -> None:
        return None

    def exec_module(self, module: ModuleType) -> None:
        tree = changed(self.path.read_text(encoding="utf-8"), self.number)
        exec(compile(tree, str(self.path), "exec"), module.__dict__)


class TrialWatch:
    """Notes the first test that failed, and how many were run; no test may take more than ``cpu`` seconds."""

    def __init__(self, cpu: float) -> None:
        self.first, self.tests, self.longest, self._cpu, self._began = "", 0, 0.0, cpu, 0.0

    def pytest_configure(self) -> None:
        """The same examples each time, and the first that fails is enough."""
        phases = (hypothesis.Phase.explicit, hypothesis.Phase.generate)
        checks = list(hypothesis.HealthCheck)
        profile = hypothesis.settings(
            derandomize=True,
            database=None,
            deadline=None,
            max_examples=EXAMPLES,
            phases=phases,
            suppress_health_check=checks,
        )
        hypothesis.settings.register_profile("mutation", profile)
        hypothesis.settings.load_profile("mutation")

    def pytest_runtest_setup(self) -> None:
        """A loop that no longer ends is stopped by the system."""
        _bound(self._cpu)
        self._began = time.process_time()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self.tests += report.when == "call"
        self.longest = max(self.longest, time.process_time() - self._began)
        if report.failed and not self.first:
            self.first = report.nodeid

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.failed and not self.first:
            self.first = f"{report.nodeid} (import)"


def module_of(path: str) -> str:
    """The module that a file is."""
    return path.removesuffix(".py").removesuffix("/__init__").replace("/", ".")


def run(path: str, number: int | None, tests: tuple[str, ...], cpu: float, answer: Connection) -> None:
    """Run these tests over one mutant, or over the modules as they are, and send the outcome.

    ``cpu`` are the processor's seconds that a test may take.
    """
    _bound(cpu)
    sys.dont_write_bytecode = False  # What is not changed is compiled once.
    with Path(os.devnull).open("w") as nowhere:
        os.dup2(nowhere.fileno(), 1)
        os.dup2(nowhere.fileno(), 2)
    warm.forget(module_of(path))
    if number is not None:
        sys.meta_path.insert(0, Mutated(path, number))
    watch, began = TrialWatch(cpu), time.perf_counter()
    # A file after the other: most mutants fall to the first, and what the later ones import need not be.
    code = next(
        (code for file in tests if (code := pytest.main([*OPTIONS, *file.split()], plugins=[watch]))), 0
    )
    passed, seconds = code == 0, time.perf_counter() - began
    answer.send(
        TrialOutcome(passed, watch.first or f"pytest ended with {code}", watch.tests, seconds, watch.longest)
    )


def _bound(cpu: float) -> None:
    """So many of the processor's seconds from now on, and no more memory than that; where the system can."""
    with suppress(ImportError):
        import resource

        soft = int(time.process_time() + cpu) + 1
        resource.setrlimit(resource.RLIMIT_CPU, (soft, resource.RLIM_INFINITY))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
