"""The screens by name, each imported when it is first shown: a scene a screen, and the panels that lie over them."""

from __future__ import annotations

from importlib import import_module
from typing import Any

SCREENS = {
    "fact": "job.arrival_screens:FactScreen",
    "complaint": "job.arrival_screens:ComplaintScreen",
    "question": "job.question_screen:QuestionScreen",
    "reading": "job.reading_screen:ReadingScreen",
    "computed": "job.computed_screen:ComputedScreen",
    "map": "job.job_map_screen:JobMapScreen",
    "decision": "job.decision_screen:DecisionScreen",
    "mending": "job.repair_screen:RepairScreen",
    "handover": "job.handover_screen:HandoverScreen",
    "stopped": "job.stopped_screen:StoppedScreen",
    "closed": "job.closed_screen:ClosedScreen",
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


def find(where: str) -> type[Any]:
    """The class at ``module:class`` of this package."""
    module, _, name = where.partition(":")
    found: type[Any] = getattr(import_module(f"wizard.screens.{module}"), name)
    return found


def there(where: str) -> bool:
    """True when that screen is part of this program."""
    from importlib.util import find_spec

    return find_spec(f"wizard.screens.{where.partition(':')[0]}") is not None
