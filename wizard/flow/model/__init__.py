"""The flow as the program works on it: frozen dataclasses, each also the declaration of a table in a file.

Every id is the text a trainer wrote. Numbers of readings and limits are in SI; ``unit`` is how people read them.
Times are minutes, as the trade counts them.
"""

from __future__ import annotations

from wizard.domain.references import END, Destination, StepRef, Target
from wizard.domain.vocabulary import Aid, LimitStatus, SignalWord, StepKind, Verdict
from wizard.flow.model.common import Caution, Drawing, fits
from wizard.flow.model.consequences import Answer, Consequence, Unable, VerdictConsequence
from wizard.flow.model.facts import Fact, FactValue
from wizard.flow.model.fault_model import (
    Alternative,
    Approach,
    Band,
    Fault,
    Finding,
    FoundAnswer,
    Limit,
    Part,
    Remedy,
    Stop,
    Tool,
)
from wizard.flow.model.figure_meaning import FigureMeaning
from wizard.flow.model.inspection import Inspection
from wizard.flow.model.measuring import Compute, Reading, Signs
from wizard.flow.model.step_keys import aid_of, bands_of, findings_of, limit_id, place_fact, reading_of
from wizard.flow.model.steps import (
    AnyStep,
    ChooseStep,
    ComputeStep,
    HandsStep,
    JudgedStep,
    LookStep,
    MeasureStep,
    RecordStep,
    Step,
    TellStep,
)
from wizard.flow.model.whole import Flow, FlowHead
from wizard.safety import Condition, Reach

__all__ = [
    "END",
    "Aid",
    "Alternative",
    "Answer",
    "AnyStep",
    "Approach",
    "Band",
    "Caution",
    "ChooseStep",
    "Compute",
    "ComputeStep",
    "Condition",
    "Consequence",
    "Destination",
    "Drawing",
    "Fact",
    "FactValue",
    "Fault",
    "FigureMeaning",
    "Finding",
    "Flow",
    "FlowHead",
    "FoundAnswer",
    "HandsStep",
    "Inspection",
    "JudgedStep",
    "Limit",
    "LimitStatus",
    "LookStep",
    "MeasureStep",
    "Part",
    "Reach",
    "Reading",
    "RecordStep",
    "Remedy",
    "SignalWord",
    "Signs",
    "Step",
    "StepKind",
    "StepRef",
    "Stop",
    "Target",
    "TellStep",
    "Tool",
    "Unable",
    "Verdict",
    "VerdictConsequence",
    "aid_of",
    "bands_of",
    "findings_of",
    "fits",
    "limit_id",
    "place_fact",
    "reading_of",
]
