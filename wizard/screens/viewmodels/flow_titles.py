"""The flows by their titles, for lists: read from each one's main file alone."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from pathlib import Path

_LAST = 100


def listed(flows: Mapping[str, Path]) -> tuple[tuple[str, str], ...]:
    """Name and title of each flow (name -> its folder): by the place that it gives itself, then as they come."""
    heads = {name: _head(folder) for name, folder in flows.items()}
    by_place = sorted(heads, key=lambda name: _place(heads[name]))
    return tuple((name, str(heads[name].get("title", name))) for name in by_place)


def _head(folder: Path) -> Mapping[str, object]:
    """The table [flow] of the flow in a folder; empty where it can't be read: the check says why."""
    try:
        head = tomllib.loads((folder / "flow.toml").read_text("utf-8-sig"))["flow"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    return head if isinstance(head, dict) else {}


def _place(head: Mapping[str, object]) -> int:
    place = head.get("place", _LAST)
    return place if isinstance(place, int) else _LAST
