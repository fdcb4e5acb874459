"""All flags of a session: every rule of flags.toml that is on, over one replay."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from wizard.review.flags import (
    asking_flags,
    override_flags,
    proof_flags,
    reading_flags,
    repair_flags,
    search_flags,
    time_flags,
)
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.thresholds import Thresholds, load, shipped
from wizard.review.guarded import attempt
from wizard.review.replay import Replay

__all__ = ["RULES", "Flag", "Thresholds", "flags", "load", "shipped"]

RULES: Mapping[FlagId, Callable[[FlagContext], Iterator[Flag]]] = {
    FlagId.STEP_QUICK: time_flags.step_quick,
    FlagId.ASKED_QUICK: asking_flags.asked_quick,
    FlagId.ISOLATION_QUICK: asking_flags.isolation_quick,
    FlagId.STORED_QUICK: asking_flags.stored_quick,
    FlagId.READINGS_MISSING: reading_flags.readings_missing,
    FlagId.READINGS_SAME: reading_flags.readings_same,
    FlagId.READING_ON_LIMIT: reading_flags.reading_on_limit,
    FlagId.READING_FINER: reading_flags.reading_finer,
    FlagId.FAIL_NO_ACTION: repair_flags.fail_no_action,
    FlagId.SEARCH_OPEN: search_flags.search_open,
    FlagId.OVERRIDE_NO_REASON: override_flags.override_no_reason,
    FlagId.PART_NO_FAIL: repair_flags.part_no_fail,
    FlagId.SET_INCOMPLETE: repair_flags.set_incomplete,
    FlagId.COMPANION_LEFT_OUT: repair_flags.companion_left_out,
    FlagId.NO_PROVING: repair_flags.no_proving,
    FlagId.PROOF_REPEATED: proof_flags.proof_repeated,
    FlagId.REASONS_EMPTY: proof_flags.reasons_empty,
    FlagId.AFTER_WORSE: repair_flags.after_worse,
    FlagId.CLOCK_BACK: time_flags.clock_back,
    FlagId.LATE_EDIT: time_flags.late_edit,
    FlagId.AGAINST_RULES: override_flags.against_rules,
}
"""Every rule by its name in flags.toml."""


def flags(replay: Replay, thresholds: Thresholds | None = None) -> tuple[Flag, ...]:
    """What a reviewer may want to look at, in the order of the events."""
    look = FlagContext(replay, thresholds or shipped())
    found: list[Flag] = []
    for rule, find in RULES.items():
        if look.thresholds.on(rule):
            flagged, trouble = attempt(partial(_all, find, look), _NOTHING)
            found.extend(flagged)
            if trouble:
                found.append(look.flag(FlagId.AGAINST_RULES, _UNSEEN, f"{rule}: {trouble}", replay.end.seq))
    return tuple(sorted(found, key=lambda f: f.seq))


_NOTHING: tuple[Flag, ...] = ()
_UNSEEN = "A look could not be made."


def _all(find: Callable[[FlagContext], Iterator[Flag]], look: FlagContext) -> tuple[Flag, ...]:
    return tuple(find(look))
