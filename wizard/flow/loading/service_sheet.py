"""A service sheet: limits of one model, which override those of the flow."""

from __future__ import annotations

from dataclasses import dataclass, fields
from pathlib import Path

from wizard.errors import FlowError
from wizard.flow.declaring.decode import decode
from wizard.flow.model import Flow, Limit, LimitStatus
from wizard.flow.model.files import SheetFile
from wizard.flow.parsing import flow_files
from wizard.flow.problems import errors


@dataclass(frozen=True, slots=True)
class Sheet:
    """The limits of ``model`` from ``source``: each has status S, edges in SI, and the id of a limit of the flow."""

    model: str
    source: str
    limits: tuple[Limit, ...]


def load_sheet(path: Path, flow: Flow) -> Sheet:
    """Return the sheet in a file; FlowError with every problem if it doesn't fit the flow."""
    from wizard.flow.loading.static_check import examine_sheet  # pydantic and tree-sitter: 0.2 s

    document, problems = examine_sheet(path.name, flow_files.read_file(path), flow)
    wrong = errors(problems)
    if wrong:
        raise FlowError(f"{path.name} is not a service sheet for {flow.id}:", tuple(map(str, wrong)))
    file = decode(SheetFile, document)
    limits = (
        Limit(**{f.name: getattr(limit, f.name) for f in fields(limit)}, status=LimitStatus.SHEET)
        for limit in file.limits
    )
    return Sheet(file.sheet.model, file.sheet.source, tuple(limits))
