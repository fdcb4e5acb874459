"""The kinds of edits of a flow: of what kind of thing, in which way, how grave it is where nobody notices, and what a
case comes to of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique


@unique
class EditGravity(StrEnum):
    """What is at risk where such an edit goes unnoticed, the gravest first."""

    SAFETY = "safety"
    """Somebody may be hurt, or a machine left that hurts."""
    EVIDENCE = "evidence"
    """Another fault is found."""
    MONEY = "money"
    """Something is done or bought for nothing."""


@unique
class EditKind(StrEnum):
    """What kind of thing of a flow is edited."""

    NEED = "need"
    PEOPLE = "people"
    REACH = "reach"
    EFFECT = "effect"
    SPOIL = "what a step may spoil"
    CAUTION = "caution"
    STOP = "stop"
    UNABLE = "unable"
    KNOWN_BAD = "known bad"
    DRIFT = "drift"
    OWED = "owed"
    WAIT = "wait"
    CONFIRM = "confirm"
    APPLIES = "applies"
    LIMIT = "limit edge"
    READING = "reading"
    UNIT = "unit of a reading"
    VERDICT = "verdict given"
    EVIDENCE = "evidence link"
    WEIGHT = "weight"
    BRANCH = "branch"
    PRICE = "price and parts"


@unique
class EditChange(StrEnum):
    """In which way it is edited."""

    REMOVED = "removed"
    HALVED = "halved"
    DOUBLED = "doubled"
    RAISED = "raised"
    LOWERED = "lowered"
    SWAPPED = "swapped"
    NEARER = "nearer"


@unique
class Noticed(StrEnum):
    """What notices an edit first; the approval alone where it only says that a claim differs."""

    FORM = "form"
    PROOF = "proof"
    CASE = "case"
    APPROVAL = "approval only"
    NONE = "none"
    SAME = "no change"
    """There is nothing to notice: what was taken out stood there to be read, and the flow is the same without it."""


@unique
class TouchKind(StrEnum):
    """What a case comes to."""

    ALL = "all"
    INSPECTION = "inspection"
    STEP = "step"
    ANSWER = "answer"
    UNABLE = "unable"
    CONDITION = "condition"
    REACH = "reach"
    STOP = "stop"
    TOOL = "tool"
    FACT = "fact"
    VALUE = "value"
    LIMIT = "limit"
    FINDING = "finding"
    FAULT = "fault"
    REPAIR = "repair"


GRAVITY: Mapping[EditKind, EditGravity] = {
    **dict.fromkeys(
        (
            EditKind.NEED, EditKind.PEOPLE, EditKind.REACH, EditKind.EFFECT, EditKind.SPOIL, EditKind.CAUTION,
            EditKind.STOP, EditKind.UNABLE, EditKind.KNOWN_BAD, EditKind.DRIFT, EditKind.OWED, EditKind.WAIT,
        ),
        EditGravity.SAFETY,
    ),
    **dict.fromkeys(
        (
            EditKind.APPLIES, EditKind.LIMIT, EditKind.READING, EditKind.UNIT, EditKind.VERDICT, EditKind.EVIDENCE,
            EditKind.WEIGHT, EditKind.BRANCH,
        ),
        EditGravity.EVIDENCE,
    ),
    **dict.fromkeys((EditKind.CONFIRM, EditKind.PRICE), EditGravity.MONEY),
}  # fmt: skip
