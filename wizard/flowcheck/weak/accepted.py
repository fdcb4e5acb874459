"""The edits that a flow's weak.toml accepts as unnoticed, and those of its names that no edit has any more."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from re import compile as compiled
from re import escape

from wizard.flow.declaring.decode import decode
from wizard.flow.model.expecting.accepted_edits import AcceptedFile
from wizard.flow.parsing.flow_files import WEAK
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.flowcheck.weak.flow_edit import FlowEdit

RULE = "weak"


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A name of edits, with * for any part, the reason, and its place in weak.toml: which entry, which name."""

    name: str
    reason: str
    entry: int
    number: int

    def of(self, edit: FlowEdit) -> bool:
        """True for an edit that it accepts."""
        return compiled(".*".join(map(escape, self.name.split("*")))).fullmatch(edit.id) is not None


def accepted(index: FlowIndex) -> tuple[Acceptance, ...]:
    """Return what the weak.toml of a flow accepts; nothing where it has none."""
    document = index.source.sound.get(WEAK, {})
    return tuple(
        Acceptance(name, entry.reason, n, m)
        for n, entry in enumerate(decode(AcceptedFile, document).accepted)
        for m, name in enumerate(entry.edits)
    )


def stale(index: FlowIndex, edits: Iterable[FlowEdit]) -> Iterator[Problem]:
    """Yield each name of weak.toml that no edit of the flow has. Edits are looked at until every name was found."""
    names: list[str] = []
    left = accepted(index)
    for edit in edits if left else ():
        names.append(edit.id)
        left = tuple(one for one in left if not one.of(edit))
        if not left:
            return
    for one in left:
        location = TableLocation(WEAK, ("accepted", one.entry), f"accepted {one.entry + 1}", {})
        message = f'no edit is called "{one.name}".{nearest(one.name, names)}'
        yield index.error(location, ("edits", one.number), message, RULE)
