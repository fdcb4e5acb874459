"""All flags of a session: every rule of flags.toml that is on, over one replay."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from functools import partial

from wizard.review import flag_overrides, flag_readings, flag_repairs, flag_times
from wizard.review.flag import Flag, Look
from wizard.review.replay import Replay
from wizard.review.thresholds import Thresholds, load, shipped
from wizard.review.untrusted import attempt

__all__ = ["RULES", "Flag", "Thresholds", "flags", "load", "shipped"]

RULES: Mapping[str, Callable[[Look], Iterator[Flag]]] = {
    "step-quick": flag_times.step_quick,
    "gate-quick": flag_times.gate_quick,
    "gate-stored-quick": flag_times.gate_stored_quick,
    "readings-missing": flag_readings.readings_missing,
    "readings-same": flag_readings.readings_same,
    "reading-on-limit": flag_readings.reading_on_limit,
    "reading-finer": flag_readings.reading_finer,
    "fail-no-action": flag_repairs.fail_no_action,
    "override-no-reason": flag_overrides.override_no_reason,
    "part-no-fail": flag_repairs.part_no_fail,
    "set-incomplete": flag_repairs.set_incomplete,
    "companion-left-out": flag_repairs.companion_left_out,
    "no-proving": flag_repairs.no_proving,
    "after-worse": flag_repairs.after_worse,
    "clock-back": flag_times.clock_back,
    "late-edit": flag_times.late_edit,
    "against-rules": flag_overrides.against_rules,
}
"""Every rule by its name in flags.toml."""


def flags(replay: Replay, thresholds: Thresholds | None = None) -> tuple[Flag, ...]:
    """What a reviewer may want to look at, in the order of the events."""
    look = Look(replay, thresholds or shipped())
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


def _all(find: Callable[[Look], Iterator[Flag]], look: Look) -> tuple[Flag, ...]:
    return tuple(find(look))
