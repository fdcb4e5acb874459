"""Which threshold of a rule a flag is held against, and which way is stricter; and the shop's file that holds them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from wizard.review.flags.flag_id import FlagId


@dataclass(frozen=True, slots=True)
class HeldKey:
    """The key of a rule that its flags' ``measure`` is held against. ``higher``: a higher number raises fewer flags."""

    key: str
    higher: bool
    whole: bool = False


HELD: Mapping[FlagId, HeldKey] = {
    FlagId.STEP_QUICK: HeldKey("share", higher=False),
    FlagId.READINGS_SAME: HeldKey("least", higher=True, whole=True),
    FlagId.PROOF_REPEATED: HeldKey("least", higher=True, whole=True),
    FlagId.REASONS_EMPTY: HeldKey("least", higher=True, whole=True),
    FlagId.READING_FINER: HeldKey("share", higher=False),
    FlagId.OVERRIDE_NO_REASON: HeldKey("ranked-below", higher=False),
    FlagId.CLOCK_BACK: HeldKey("seconds", higher=True),
    FlagId.LATE_EDIT: HeldKey("minutes", higher=True),
}
"""The rules whose number may be moved by what reviewers say of their flags. Not among them: what people's safety rests
on (stored voltage, what is asked before hands go in), and rules that have no number.
"""
