"""Check a flow: its form, then every static rule, all problems at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from wizard.flow import files
from wizard.flow.build import build_flow
from wizard.flow.model import Flow
from wizard.flow.problems import Problem, errors, tidy
from wizard.flow.read import Source, read
from wizard.flow.rules import RULES
from wizard.flow.rules.book import Book, declared

_EMPTY_HEAD: dict[str, Any] = {
    "id": "flow",
    "title": "flow",
    "complaint": "flow",
    "version": "0",
    "notice": "flow",
    "kind": "",
    "find": [],
    "prove": [],
    "leave": "",
    "handover": "",
}


@dataclass(frozen=True, slots=True)
class Examined:
    """What a check found. ``flow`` is None where nothing could be built; ``book`` has the places of everything."""

    flow: Flow | None
    problems: tuple[Problem, ...]
    book: Book | None

    @property
    def sound(self) -> bool:
        """True when the flow has no errors; warnings may be left."""
        return self.flow is not None and not errors(self.problems)


def examine(content: Mapping[str, bytes]) -> Examined:
    """Return what is wrong with these files of a flow, and the flow as far as it could be built."""
    source = read(content)
    if "flow.toml" not in source.sound:
        return Examined(None, tidy(source.problems), None)
    source = replace(source, sound=_buildable(source))
    flow = build_flow(source.sound, source.drawings, files.digest(content))
    book = Book(flow, source, declared(source))
    found = [problem for rule in RULES for problem in rule(book)]
    return Examined(flow, tidy([*source.problems, *found]), book)


def _buildable(source: Source) -> dict[str, dict[str, Any]]:
    """Return the sound documents, the head of flow.toml filled up, without inspections that lost their head."""
    sound = dict(source.sound)
    main = sound["flow.toml"]
    sound["flow.toml"] = {**main, "flow": {**_EMPTY_HEAD, **main.get("flow", {})}}
    return {
        name: document
        for name, document in sound.items()
        if not name.startswith("inspections/") or (document.get("inspection") and document.get("step"))
    }
