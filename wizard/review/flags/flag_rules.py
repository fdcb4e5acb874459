"""All flags of a session: every rule of flags.toml that is on, over one replay."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from wizard.review.flags import (
    asking_flags,
    override_flags,
    reading_flags,
    repair_flags,
    search_flags,
    time_flags,
)
from wizard.review.flags.flag import Flag, FlagContext
from wizard.review.flags.thresholds import Thresholds, load, shipped
from wizard.review.guarded import attempt
from wizard.review.replay import Replay

__all__ = ["RULES", "Flag", "Thresholds", "flags", "load", "shipped"]

RULES: Mapping[str, Callable[[FlagContext], Iterator[Flag]]] = {
    "step-quick": time_flags.step_quick,
    "asked-quick": asking_flags.asked_quick,
    "stored-quick": asking_flags.stored_quick,
    "readings-missing": reading_flags.readings_missing,
    "readings-same": reading_flags.readings_same,
    "reading-on-limit": reading_flags.reading_on_limit,
    "reading-finer": reading_flags.reading_finer,
    "fail-no-action": repair_flags.fail_no_action,
    "search-open": search_flags.search_open,
    "override-no-reason": override_flags.override_no_reason,
    "part-no-fail": repair_flags.part_no_fail,
    "set-incomplete": repair_flags.set_incomplete,
    "companion-left-out": repair_flags.companion_left_out,
    "no-proving": repair_flags.no_proving,
    "after-worse": repair_flags.after_worse,
    "clock-back": time_flags.clock_back,
    "late-edit": time_flags.late_edit,
    "against-rules": override_flags.against_rules,
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
                found.append(look.flag("against-rules", _UNSEEN, f"{rule}: {trouble}", replay.end.seq))
    return tuple(sorted(found, key=lambda f: f.seq))


_NOTHING: tuple[Flag, ...] = ()
_UNSEEN = "A look could not be made."


def _all(find: Callable[[FlagContext], Iterator[Flag]], look: FlagContext) -> tuple[Flag, ...]:
    return tuple(find(look))
