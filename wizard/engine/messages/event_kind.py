"""The words that a journal calls its events by."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class EventKind(StrEnum):
    """What happened, by its word in the journal; ``wizard.engine.messages.events`` has a class for each."""

    BEGAN = "began"
    VISIT = "visit"
    FACT = "fact"
    COMPLAINT = "complaint"
    SHEET = "sheet"
    ENTERED = "entered"
    READING = "reading"
    RECORDING = "recording"
    SPIN = "spin"
    ANSWERED = "answered"
    UNDONE = "undone"
    LEFT = "left"
    SHOWN = "shown"
    WIDENED = "widened"
    PAUSED = "paused"
    TAKEN_OVER = "taken-over"
    RELEASED = "released"
    HEADED = "headed"
    SKIPPED = "skipped"
    NOTE = "note"
    PHOTO = "photo"
    NOTE_UNDONE = "note-undone"
    DRAFT = "draft"
    DECIDED = "decided"
    REPAIRED = "repaired"
    STOPPED = "stopped"
    STOP_WITHDRAWN = "stop-withdrawn"
    STOP_CLEARED = "stop-cleared"
    MADE_SAFE = "made-safe"
    HANDED_OVER = "handed-over"
    CLOSED = "closed"
