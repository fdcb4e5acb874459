"""The files a trainer writes, as pydantic models, and the JSON Schema an editor completes them from.

Imported only to check a file or to write a schema: running a checked flow needs none of it.
"""

from __future__ import annotations

from typing import Any

from wizard.errors import UsageError
from wizard.flow.problems import nearest
from wizard.flow.schema.base import Table
from wizard.flow.schema.case import CaseFile
from wizard.flow.schema.evidence import FaultsFile, FindingsFile, LimitsFile, SheetFile
from wizard.flow.schema.main import FlowFile
from wizard.flow.schema.steps import InspectionFile

FILES: dict[str, type[Table]] = {
    "flow": FlowFile,
    "inspection": InspectionFile,
    "limits": LimitsFile,
    "findings": FindingsFile,
    "faults": FaultsFile,
    "case": CaseFile,
    "sheet": SheetFile,
}


def json_schema(kind: str) -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of one kind of file; UsageError if there is no such kind."""
    if kind not in FILES:
        raise UsageError(
            f'"{kind}" is not a kind of file. There are {", ".join(FILES)}.{nearest(kind, FILES)}'
        )
    schema = FILES[kind].model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
