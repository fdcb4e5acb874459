"""A service sheet: limits of one model, which override those of the flow."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from wizard.errors import FlowError
from wizard.flow import files
from wizard.flow.build import build_limits
from wizard.flow.evidence import Limit
from wizard.flow.model import Flow
from wizard.flow.problems import errors

STATUS = "S"


@dataclass(frozen=True, slots=True)
class Sheet:
    """The limits of ``model`` from ``source``: each has status S, edges in SI, and the id of a limit of the flow."""

    model: str
    source: str
    limits: tuple[Limit, ...]


def load_sheet(path: Path, flow: Flow) -> Sheet:
    """Return the sheet in a file; FlowError with every problem if it doesn't fit the flow."""
    from wizard.flow.check import examine_sheet  # pydantic and tree-sitter: 0.2 s

    document, problems = examine_sheet(path.name, files.read_file(path), flow)
    wrong = errors(problems)
    if wrong:
        raise FlowError(f"{path.name} is not a service sheet for {flow.id}:", tuple(map(str, wrong)))
    limits = build_limits(document["limit"], STATUS)
    head = document["sheet"]
    return Sheet(head["model"], head["source"], tuple(limit for found in limits.values() for limit in found))
