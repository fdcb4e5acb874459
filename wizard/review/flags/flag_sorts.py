"""What each flag is about, and how much it is worth a look."""

from __future__ import annotations

from collections.abc import Mapping
from enum import StrEnum, unique

from wizard.review.flags.flag_id import FlagId


@unique
class FlagKind(StrEnum):
    """What a flag is about: people's safety; what the record can be relied on for; parts and work that cost somebody;
    how it was worked.
    """

    SAFETY = "safety"
    EVIDENCE = "evidence"
    MONEY = "money"
    HABIT = "habit"


@unique
class FlagGravity(StrEnum):
    """How much a flag is worth a look, the most first."""

    HIGH = "high"
    MIDDLE = "middle"
    LOW = "low"


SORTS: Mapping[FlagId, tuple[FlagKind, FlagGravity]] = {
    FlagId.ASKED_QUICK: (FlagKind.SAFETY, FlagGravity.HIGH),
    FlagId.ISOLATION_QUICK: (FlagKind.SAFETY, FlagGravity.HIGH),
    FlagId.STORED_QUICK: (FlagKind.SAFETY, FlagGravity.HIGH),
    FlagId.AGAINST_RULES: (FlagKind.EVIDENCE, FlagGravity.HIGH),
    FlagId.PROOF_REPEATED: (FlagKind.EVIDENCE, FlagGravity.HIGH),
    FlagId.NO_PROVING: (FlagKind.EVIDENCE, FlagGravity.HIGH),
    FlagId.AFTER_WORSE: (FlagKind.EVIDENCE, FlagGravity.HIGH),
    FlagId.FAIL_NO_ACTION: (FlagKind.EVIDENCE, FlagGravity.HIGH),
    FlagId.CLOCK_BACK: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.LATE_EDIT: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.SEARCH_OPEN: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.OVERRIDE_NO_REASON: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.REASONS_EMPTY: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.READINGS_SAME: (FlagKind.EVIDENCE, FlagGravity.MIDDLE),
    FlagId.READINGS_MISSING: (FlagKind.EVIDENCE, FlagGravity.LOW),
    FlagId.READING_ON_LIMIT: (FlagKind.EVIDENCE, FlagGravity.LOW),
    FlagId.READING_FINER: (FlagKind.EVIDENCE, FlagGravity.LOW),
    FlagId.PART_NO_FAIL: (FlagKind.MONEY, FlagGravity.HIGH),
    FlagId.SET_INCOMPLETE: (FlagKind.MONEY, FlagGravity.MIDDLE),
    FlagId.COMPANION_LEFT_OUT: (FlagKind.MONEY, FlagGravity.MIDDLE),
    FlagId.STEP_QUICK: (FlagKind.HABIT, FlagGravity.LOW),
}
"""By rule; a test holds that every one is here. An estimate, in the order of what somebody could be hurt by."""


def rules_of(kind: str = "", gravity: str = "") -> tuple[FlagId, ...]:
    """The rules of a kind and a gravity; empty is any."""
    return tuple(
        rule for rule, (its, how) in SORTS.items() if kind in ("", its.value) and gravity in ("", how.value)
    )


def sort_words(rules: tuple[str, ...]) -> str:
    """'safety (high), evidence (middle)': the kinds of some rules, each with its greatest gravity; empty for none."""
    found = _gravest(rules)
    return ", ".join(f"{kind} ({found[kind]})" for kind in FlagKind if kind in found)


def sort_letters(rules: tuple[str, ...]) -> str:
    """The same as 'Seh': a letter a kind that there is, large where its gravity is high."""
    found = _gravest(rules)
    letters = [(kind.value[0], found[kind]) for kind in FlagKind if kind in found]
    return "".join(letter.upper() if gravity is FlagGravity.HIGH else letter for letter, gravity in letters)


def _gravest(rules: tuple[str, ...]) -> dict[FlagKind, FlagGravity]:
    """The kinds of some rules, each with its greatest gravity."""
    found: dict[FlagKind, FlagGravity] = {}
    ranks = tuple(FlagGravity)
    for rule in FlagId:
        if rule.value in rules:
            kind, gravity = SORTS[rule]
            found[kind] = min(gravity, found.get(kind, gravity), key=ranks.index)
    return found
