"""The screens by name, each imported when it is first shown: a scene a screen, and the panels that lie over them."""

from __future__ import annotations

from importlib import import_module
from typing import Any

SCREENS = {
    "fact": "arrival:FactScreen",
    "complaint": "arrival:ComplaintScreen",
    "question": "question:QuestionScreen",
    "reading": "reading:ReadingScreen",
    "computed": "computed:ComputedScreen",
    "lapsed": "lapsed:LapsedScreen",
    "map": "jobmap:JobMapScreen",
    "decision": "decision:DecisionScreen",
    "mending": "mending:MendingScreen",
    "handover": "handover:HandoverScreen",
    "stopped": "stopped:StoppedScreen",
    "closed": "closed:ClosedScreen",
}
"""Scene kind -> module:class, a ``jobscreen.JobScreen`` made without arguments."""

PANELS = {
    "note": "notes:NotePanel",
    "photo": "photos:PhotoPanel",
    "correct": "corrections:CorrectionPanel",
    "sheet": "sheet:SheetPanel",
    "stop": "stopwork:StopWorkPanel",
    "found": "found:FoundPanel",
    "advice": "advice:AdvicePanel",
    "explain": "explain:ExplainPanel",
}
"""Panel -> module:class, a ``panel.Panel`` made with the desk; it ends with the command to carry out, or None."""


def find(where: str) -> type[Any]:
    """The class at ``module:class`` of this package."""
    module, _, name = where.partition(":")
    found: type[Any] = getattr(import_module(f"wizard.screens.{module}"), name)
    return found


def there(where: str) -> bool:
    """True when that screen is part of this program."""
    from importlib.util import find_spec

    return find_spec(f"wizard.screens.{where.partition(':')[0]}") is not None
