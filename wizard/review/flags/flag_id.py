"""The names of the flags: the tables of flags.toml."""

from __future__ import annotations

from enum import StrEnum, unique


@unique
class FlagId(StrEnum):
    """What a flag is raised for; flags.toml says of each when."""

    STEP_QUICK = "step-quick"
    ASKED_QUICK = "asked-quick"
    ISOLATION_QUICK = "isolation-quick"
    STORED_QUICK = "stored-quick"
    READINGS_MISSING = "readings-missing"
    READINGS_SAME = "readings-same"
    READING_ON_LIMIT = "reading-on-limit"
    READING_FINER = "reading-finer"
    FAIL_NO_ACTION = "fail-no-action"
    SEARCH_OPEN = "search-open"
    OVERRIDE_NO_REASON = "override-no-reason"
    PART_NO_FAIL = "part-no-fail"
    SET_INCOMPLETE = "set-incomplete"
    COMPANION_LEFT_OUT = "companion-left-out"
    NO_PROVING = "no-proving"
    PROOF_REPEATED = "proof-repeated"
    REASONS_EMPTY = "reasons-empty"
    AFTER_WORSE = "after-worse"
    CLOCK_BACK = "clock-back"
    LATE_EDIT = "late-edit"
    AGAINST_RULES = "against-rules"
