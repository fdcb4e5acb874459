"""One edit of a flow: where it is, what is taken away or changed, and the files of the flow with it made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from wizard.flow.parsing.toml_positions import Path
from wizard.flowcheck.weak.edit_kinds import GRAVITY, EditChange, EditGravity, EditKind, TouchKind


@dataclass(frozen=True, slots=True)
class EditTouch:
    """What a case must come to for an edit to matter to it: a kind of thing, and its id."""

    kind: TouchKind
    name: str


@dataclass(frozen=True, slots=True)
class FlowEdit:
    """An edit: in ``file`` what stands at ``keys`` gives way to ``value``, or is taken out where that is None.

    ``id`` is its name, by ids and not by places in lists; ``says`` what it does, in words; ``touches`` what a case must
    come to, one of them, for it to matter.
    """

    id: str
    kind: EditKind
    change: EditChange
    file: str
    line: int
    keys: Path
    value: Any
    says: str
    touches: tuple[EditTouch, ...]

    @property
    def gravity(self) -> EditGravity:
        """What is at risk where it goes unnoticed."""
        return GRAVITY[self.kind]


def made(document: Mapping[str, Any], keys: Path, value: Any) -> dict[str, Any]:
    """Return a file's tables with what stands at ``keys`` changed to ``value``, or taken out where that is None."""
    changed: dict[str, Any] = _made(document, keys, value)
    return changed


def _made(values: Any, keys: Path, value: Any) -> Any:
    key, *rest = keys
    copy: Any = list(values) if isinstance(values, list) else dict(values)
    if rest:
        copy[key] = _made(values[key], tuple(rest), value)
    elif value is None:
        del copy[key]
    else:
        copy[key] = value
    return copy
