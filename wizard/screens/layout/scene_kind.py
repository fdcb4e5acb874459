"""What a screen of a job is for."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class SceneKind(StrEnum):
    """A fact or the complaint at arrival; a step that is answered, read, computed or recorded; the map, and
    where its keys lead; how a job ended. ``screen_registry.SCREENS`` has a screen for each.
    """

    FACT = "fact"
    COMPLAINT = "complaint"
    QUESTION = "question"
    READING = "reading"
    COMPUTED = "computed"
    RECORDED = "recorded"
    MAP = "map"
    DECISION = "decision"
    REPAIR = "repair"
    HANDOVER = "handover"
    STOPPED = "stopped"
    CLOSED = "closed"
