"""What all tests share."""

import contextlib
import gc
import os
import signal
import sys
from collections.abc import Iterable
from zlib import crc32

import pytest
from hypothesis import settings

from wizard.journal import session_name
from wizard.platform.linear_algebra import one_thread

one_thread()

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
"""No example fails for being slow: tests run beside each other, and on computers that do other things too."""

MOST_MEMORY = 3 << 30
"""Bytes that one process of the tests may fill. The largest known fills a sixth of it: who needs more fails by name."""


def pytest_configure() -> None:
    """Bound the memory of this process and of those that it starts, where the system knows how; and hear the signals
    that whoever started the tests had ignored, as a job in the background does: what is started inherits that.
    """
    as_begun = {"SIGINT": signal.default_int_handler, "SIGHUP": signal.SIG_DFL, "SIGQUIT": signal.SIG_DFL}
    for name, heard in as_begun.items():
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) is signal.SIG_IGN:
            signal.signal(number, heard)
    if sys.platform == "linux":
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_DATA)
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_DATA, (MOST_MEMORY, hard))


LONG = (
    "tests/screens/test_terminal", "tests/screens/test_screenshots", "tests/flowcheck/test_cases_",
    "tests/flowcheck/test_proof_shipped", "tests/documents/papers/test_papers_sentences", "tests/vignettes",
)  # fmt: skip
"""The tests that take longest: they begin, so that no process waits for the other at the end. Those that look at the
played cases stand together, so that one process plays them.
"""


SMALL, LARGE = (80, 24), (120, 36)
"""The sizes at which most tests of the screens are asked: by day each at one of them, by night at both."""
DURABLE = ("tests/journal", "tests/sessions", "tests/cli", "tests/bench")
"""The tests that ask what is on the disk after a power cut, or start programs that do."""


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items) -> None:
    """Long ones first; the others stay as they are. Of the screens' tests one size is left for the night."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONG))
    for item in _at_the_other_size(items):
        item.add_marker(pytest.mark.nightly)


def pytest_collection_finish() -> None:
    """What was collected stays to the end: the collector of garbage looks at it no more, and comes less often.

    It took a quarter of the time of a screen's test.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000, 20, 100)


def _at_the_other_size(items) -> Iterable[pytest.Item]:
    """The tests of a screen that are asked at the other size too; which of the two goes by the test's name."""
    asked: dict[str, dict[object, list[pytest.Item]]] = {}
    for item in items:
        size = getattr(item, "callspec", None) and item.callspec.params.get("size")
        if item.nodeid.startswith("tests/screens") and size in (SMALL, LARGE):
            asked.setdefault(item.nodeid.partition("[")[0], {}).setdefault(size, []).append(item)
    for name, by_size in asked.items():
        if len(by_size) == 2:
            yield from by_size[(SMALL, LARGE)[crc32(name.encode()) % 2]]


@pytest.fixture(autouse=True)
def _no_waiting_for_the_disk(request, monkeypatch) -> None:
    """What isn't about the disk doesn't wait for it: there a journal is written, and not waited for."""
    if not request.node.nodeid.startswith(DURABLE):
        monkeypatch.setattr(os, "fsync", lambda _fd: None)


@pytest.fixture(autouse=True)
def _names_that_tests_know(monkeypatch) -> None:
    """Sessions are named without a mark, as those of before are: the tests of names draw marks themselves."""
    monkeypatch.setattr(session_name, "fresh_mark", lambda: "")
