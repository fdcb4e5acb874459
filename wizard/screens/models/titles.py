"""The title of a flow, for lists: read from its main file alone."""

from __future__ import annotations

import tomllib
from pathlib import Path


def title_of(folder: Path) -> str:
    """The title of the flow in a folder; the folder's name where that can't be read."""
    try:
        title = tomllib.loads((folder / "flow.toml").read_text("utf-8-sig"))["flow"]["title"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return folder.name
    return str(title)
