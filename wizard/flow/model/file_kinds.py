"""Every kind of file with its declaration: what checks, completes and explains them goes by it."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.domain.flow_vocabulary import FileKind
from wizard.flow.model.case import CaseFile
from wizard.flow.model.expecting.accepted_edits import AcceptedFile
from wizard.flow.model.files import (
    FaultsFile,
    FindingsFile,
    FlowFile,
    InspectionFile,
    LimitsFile,
    MachineFile,
    SheetFile,
    WordingFile,
)

FILES: Mapping[FileKind, type] = {
    FileKind.FLOW: FlowFile,
    FileKind.INSPECTION: InspectionFile,
    FileKind.LIMITS: LimitsFile,
    FileKind.FINDINGS: FindingsFile,
    FileKind.FAULTS: FaultsFile,
    FileKind.WORDING: WordingFile,
    FileKind.MACHINE: MachineFile,
    FileKind.PROCEDURE: InspectionFile,
    FileKind.CASE: CaseFile,
    FileKind.SHEET: SheetFile,
    FileKind.WEAK: AcceptedFile,
}
"""Each kind of file, and its declaration."""
