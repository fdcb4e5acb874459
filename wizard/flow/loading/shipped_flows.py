"""Where the flows are that come with the program: in the wheel, or beside the package in an editable install."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from wizard.errors import UsageError
from wizard.flow.flow_places import home, package
from wizard.flow.parsing.flow_files import MAIN
from wizard.flow.problems import nearest


def shipped() -> dict[str, Path]:
    """Return the name of each shipped flow and its folder, in the order of their names."""
    return find(package())


def find(package: Path) -> dict[str, Path]:
    """Return the shipped flows of the package at ``package``: those inside it, else those beside it."""
    place = home(package)
    if not place.is_dir():
        return {}
    return {folder.name: folder for folder in sorted(place.iterdir()) if (folder / MAIN).is_file()}


def folder_of(name: str, flows: Mapping[str, Path] | None = None) -> Path:
    """Return the folder of the flow ``name`` among ``flows`` (those shipped if left out), or of the flow at that
    path.

    UsageError, with the nearest name, if it is neither.
    """
    known = shipped() if flows is None else flows
    if name in known:
        return known[name]
    if (Path(name) / MAIN).is_file():
        return Path(name)
    raise UsageError(
        f'There is no flow "{name}", and no folder of that name with a {MAIN}. '
        f"There are: {', '.join(known) or 'none'}.{nearest(name, known)}"
    )
