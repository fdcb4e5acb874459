"""What comes of checking the form of one file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class FormFault:
    """A problem of form: where it is, what to say, and whether its key rather than its value is meant."""

    path: Path
    text: str
    rule: str
    key: bool = False


@dataclass(frozen=True, slots=True)
class FormCheck:
    """The faults of a file, and what is left of it without them. ``doubtful``: more than unknown keys went."""

    faults: tuple[FormFault, ...]
    sound: dict[str, Any]
    doubtful: bool
