"""Which loaded modules hang on another: those a trial imports anew, while all others stay as they were loaded."""

from __future__ import annotations

import ast
import importlib
import sys
from collections.abc import Iterable
from functools import cache
from pathlib import Path

ROOTS = ("wizard", "tests")

LOADED = (
    "tests.helpers.paced_jobs",
    "tests.helpers.networks",
    "wizard.journal.journal_verification",
    "wizard.journal.journal_writer",
    "wizard.diagnosis",
    "wizard.review.flags.flag_rules",
)
"""What the tests of the groups use, loaded once for all trials."""


def load() -> None:
    """Load what the tests use, the small flow too, and find out what imports what."""
    for name in LOADED:
        importlib.import_module(name)
    sys.modules["tests.helpers.jobs"].good()
    importers()


@cache
def importers() -> dict[str, set[str]]:
    """For each module the loaded ones that import it, anywhere in their text; a package that it is in, too."""
    found: dict[str, set[str]] = {}
    for name in _ours():
        for imported in _imports(name):
            for end in range(1, imported.count(".") + 2):
                found.setdefault(".".join(imported.split(".")[:end]), set()).add(name)
    return found


def forget(module: str) -> None:
    """Make a module, and all that hang on it, be imported anew."""
    gone, todo = set[str](), [module]
    while todo:
        name = todo.pop()
        if name not in gone:
            gone.add(name)
            todo += importers().get(name, ())
    for name in gone & set(sys.modules):
        del sys.modules[name]
        parent, _, child = name.rpartition(".")
        if parent in sys.modules and hasattr(sys.modules[parent], child):
            delattr(sys.modules[parent], child)


def _ours() -> Iterable[str]:
    return [
        name for name in sys.modules if name.split(".")[0] in ROOTS and not name.startswith("tests.mutation")
    ]


def _imports(name: str) -> Iterable[str]:
    """What a module's text imports: modules, and names that may be modules of a package."""
    file = sys.modules[name].__file__
    if not file:
        return
    for node in ast.walk(ast.parse(Path(file).read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
