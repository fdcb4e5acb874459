"""Where the flows and the library are that come with the program: in the wheel, or beside the package."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

IN_WHEEL = "shipped_flows"
IN_TREE = "flows"
_LIBRARY = "library"


def package() -> Path:
    """Return the folder of the package."""
    return Path(str(files("wizard")))


def home(package: Path) -> Path:
    """Return the folder of the shipped flows: inside the package at ``package``, else beside it."""
    inside = package / IN_WHEEL
    return inside if inside.is_dir() else package.parent / IN_TREE


def shipped_library() -> Path:
    """Return the folder of the shipped library."""
    return home(package()) / _LIBRARY
