"""The flows by their titles, for lists: read from each one's main file alone."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from wizard.foreign.file_reader import read_file
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import read_toml

_LAST = 100


def title_choices(flows: Mapping[str, Path]) -> tuple[tuple[str, str], ...]:
    """Name and title of each flow (name -> its folder): by the place that it gives itself, then as they come."""
    heads = {name: _head(folder) for name, folder in flows.items()}
    by_place = sorted(heads, key=lambda name: _place(heads[name]))
    return tuple((name, harmless(str(heads[name].get("title", name)))) for name in by_place)


def _head(folder: Path) -> Mapping[str, object]:
    """The table [flow] of the flow in a folder; empty where it can't be read: the check says why."""
    try:
        head = read_toml(read_file(folder / "flow.toml", Source.FLOW_FILE), Source.FLOW_FILE)["flow"]
    except (OSError, ValueError, KeyError):
        return {}
    return head if isinstance(head, dict) else {}


def _place(head: Mapping[str, object]) -> int:
    place = head.get("place", _LAST)
    return place if isinstance(place, int) else _LAST
