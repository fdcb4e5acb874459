"""The screens by name, each imported when it is first shown: a scene a screen, and the panels that lie over them."""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module
from typing import Any

from wizard.screens.layout.scene_kind import SceneKind

SCREENS = {
    SceneKind.FACT: "job.arrival_screens:FactScreen",
    SceneKind.COMPLAINT: "job.arrival_screens:ComplaintScreen",
    SceneKind.QUESTION: "job.question_screen:QuestionScreen",
    SceneKind.READING: "job.reading_screen:ReadingScreen",
    SceneKind.COMPUTED: "job.computed_screen:ComputedScreen",
    SceneKind.RECORDED: "job.record_screen:RecordScreen",
    SceneKind.MAP: "job.job_map_screen:JobMapScreen",
    SceneKind.DECISION: "job.decision_screen:DecisionScreen",
    SceneKind.REPAIR: "job.repair_screen:RepairScreen",
    SceneKind.HANDOVER: "job.handover_screen:HandoverScreen",
    SceneKind.STOPPED: "job.stopped_screen:StoppedScreen",
    SceneKind.CLOSED: "job.closed_screen:ClosedScreen",
}
"""Scene kind -> module:class, a ``job_screen.JobScreen`` made without arguments."""

PANELS = {
    "note": "dialogs.note_panel:NotePanel",
    "photo": "dialogs.photo_panel:PhotoPanel",
    "correct": "dialogs.correction_panel:CorrectionPanel",
    "sheet": "dialogs.sheet_panel:SheetPanel",
    "stop": "dialogs.stop_work:StopWorkPanel",
    "found": "job.findings_panel:FoundPanel",
    "advice": "dialogs.advice_panel:AdvicePanel",
    "explain": "dialogs.explain_panel:ExplainPanel",
    "stands": "dialogs.machine_stands:StandsPanel",
}
"""Panel -> module:class, a ``panel.Panel`` made with the controller; it ends with the command to carry out, or
None.
"""

QUESTIONS = {"break": "dialogs.break_prompts:ask_break"}
"""Question -> module:function that asks it of whoever works, and carries out what is answered."""


def find(where: str) -> Callable[..., Any]:
    """The class or function at ``module:name`` of this package."""
    module, _, name = where.partition(":")
    found: Callable[..., Any] = getattr(import_module(f"wizard.screens.{module}"), name)
    return found
