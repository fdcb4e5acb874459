"""The words for what a flow is made of: its kinds of files, and of what they declare by an id.

As in ``wizard.domain.vocabulary``, the values are the words of the files.
"""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class FileKind(StrEnum):
    """What a file of a flow, of its library, or beside them is."""

    FLOW = "flow"
    INSPECTION = "inspection"
    LIMITS = "limits"
    FINDINGS = "findings"
    FAULTS = "faults"
    MACHINE = "machine"
    PROCEDURE = "procedure"
    CASE = "case"
    SHEET = "sheet"
    WEAK = "weak"
    WORDING = "wording"
    DRAWING = "drawing"


@unique
class ThingKind(StrEnum):
    """What is declared by an id. A target is an inspection or a step, a value one of a condition's."""

    FACT = "fact"
    CONDITION = "condition"
    REACH = "reach"
    STOP = "stop"
    TOOL = "tool"
    LIMIT = "limit"
    FINDING = "finding"
    FAULT = "fault"
    INSPECTION = "inspection"
    STEP = "step"
    DRAWING = "drawing"
    TARGET = "target"
    VALUE = "value"


@unique
class KnownBy(StrEnum):
    """How what is answered is known: by eyes, ears or hands at the machine; read from a tool; by what somebody said; as
    an act of whoever answers; from the recording of a spin; by nothing that shows it for sure; or it is a decision and
    nothing about the machine.
    """

    SEEN = "seen"
    MEASURED = "measured"
    TOLD = "told"
    DONE = "done"
    PRESUMED = "presumed"
    DECIDED = "decided"
    RECORDED = "recorded"
