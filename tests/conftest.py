"""What all tests share."""

import contextlib
import sys

from hypothesis import settings

settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
"""No example fails for being slow: tests run beside each other, and on computers that do other things too."""

MOST_MEMORY = 3 << 30
"""Bytes that one process of the tests may fill. The largest known fills a sixth of it: who needs more fails by name."""


def pytest_configure() -> None:
    """Bound the memory of this process and of those that it starts, where the system knows how."""
    if sys.platform == "linux":
        import resource

        _, hard = resource.getrlimit(resource.RLIMIT_DATA)
        with contextlib.suppress(ValueError, OSError):
            resource.setrlimit(resource.RLIMIT_DATA, (MOST_MEMORY, hard))


LONG = ("tests/screens/test_terminal", "tests/screens/test_screenshots", "tests/flowcheck/test_cases_")
"""The tests that take longest: they begin, so that no process waits for the other at the end."""


def pytest_collection_modifyitems(items) -> None:
    """Long ones first; the others stay as they are."""
    items.sort(key=lambda item: not item.nodeid.startswith(LONG))
