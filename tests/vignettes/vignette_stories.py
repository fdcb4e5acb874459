"""The visits as they are told: each with the faults that the technician names, and those that he doesn't."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from wizard.flow.loading.case_loader import load_file
from wizard.flow.model import Flow
from wizard.flow.model.case import Case

HERE = Path(__file__).parent
KINDS: Mapping[str, str] = {
    "front_loader": "front loader",
    "top_hung": "hung top loader",
    "top_base": "top loader on springs",
}
"""The files of the kinds of machine, and how the page calls them."""
PARTS: Mapping[str, tuple[str, ...]] = {
    "dampers": ("dampers-worn", "dampers-seized"),
    "floor": ("floor", "floor-slips"),
    "drain": ("drain", "drain-pump"),
}
"""Names of the stories that the flow has as several faults; every other name is the flow's own."""

_NAMED = re.compile(r"\*\*He names\*\*(.*?)\*\*He does not name\*\*(.*?)\.(?:\s|$)", re.DOTALL)
_MARKED = re.compile(r"`([a-z]+)`")


@dataclass(frozen=True, slots=True)
class Vignette:
    """A visit: its ``id`` and ``kind``, the names given and not given in the story, and the case made of it."""

    id: str
    kind: str
    named: frozenset[str]
    unnamed: frozenset[str]
    case: Case

    @property
    def expected(self) -> tuple[str, ...]:
        """The flow's faults that the case ends with."""
        return self.case.expect.confirmed or ()

    @property
    def forbidden(self) -> frozenset[str]:
        """The flow's faults that the technician would not name."""
        return frozenset(fault for name in self.unnamed for fault in faults_of(name))


def faults_of(name: str) -> tuple[str, ...]:
    """The flow's faults of a name in a story."""
    return PARTS.get(name, (name,))


def vignettes(flow: Flow) -> tuple[Vignette, ...]:
    """All visits, in the order of the files. KeyError where a story has no case."""
    return tuple(one for kind in KINDS for one in _of_kind(kind, flow))


def _of_kind(kind: str, flow: Flow) -> list[Vignette]:
    cases = {case.id: case for case in load_file(HERE / f"{kind}_cases.toml", flow)}
    told = (HERE / f"{kind}_stories.md").read_text(encoding="utf-8").split("\n## ")[1:]
    if len(told) != len(cases):
        raise ValueError(f"{kind}: {len(told)} stories, {len(cases)} cases")
    found = []
    for story in told:
        name = story.partition("\n")[0].replace("_", "-")
        match = _NAMED.search(story)
        if match is None:
            raise ValueError(f"{name}: the story does not say whom he names")
        named, unnamed = (frozenset(_MARKED.findall(part)) for part in match.groups())
        found.append(Vignette(name, kind, named, unnamed, cases[name]))
    return found
