"""Every kind of file with its declaration: what checks, completes and explains them goes by it."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.flow.model.case import CaseFile
from wizard.flow.model.files import (
    FaultsFile,
    FindingsFile,
    FlowFile,
    InspectionFile,
    LimitsFile,
    MachineFile,
    SheetFile,
)

FILES: Mapping[str, type] = {
    "flow": FlowFile,
    "inspection": InspectionFile,
    "limits": LimitsFile,
    "findings": FindingsFile,
    "faults": FaultsFile,
    "machine": MachineFile,
    "procedure": InspectionFile,
    "case": CaseFile,
    "sheet": SheetFile,
}
"""Each kind of file, and its declaration."""
