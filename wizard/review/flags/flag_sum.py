"""All flags of a session rolled up: a row a rule, the gravest first, so that one of forty is not overlooked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from wizard.review.flags.flag import Flag
from wizard.review.flags.flag_sorts import FlagGravity, FlagKind


@dataclass(frozen=True, slots=True)
class RuleSum:
    """All flags of one rule, in the order of the events."""

    flags: tuple[Flag, ...]

    @property
    def says(self) -> str:
        """The flag's words; where there are several, how many and the first."""
        first = self.flags[0].says
        return first if len(self.flags) == 1 else f"{len(self.flags)} times; first: {first}"

    @property
    def order(self) -> tuple[int, int, int]:
        """What rules are sorted by: gravity, kind, the first event."""
        first = self.flags[0]
        return tuple(FlagGravity).index(first.gravity), tuple(FlagKind).index(first.kind), first.seq


@dataclass(frozen=True, slots=True)
class FlagSum:
    """The roll-up of a session: its rules, the gravest first."""

    rules: tuple[RuleSum, ...]

    @property
    def count(self) -> int:
        """How many flags there are."""
        return sum(len(one.flags) for one in self.rules)

    @property
    def words(self) -> str:
        """'2 safety (high), 3 evidence (middle), 31 habit (low)'; empty where there are none."""
        counts = Counter(flag.kind for one in self.rules for flag in one.flags)
        ranks = tuple(FlagGravity)
        gravest = {
            kind: min((f.gravity for one in self.rules for f in one.flags if f.kind is kind), key=ranks.index)
            for kind in counts
        }
        return ", ".join(f"{counts[kind]} {kind} ({gravest[kind]})" for kind in FlagKind if kind in counts)

    @property
    def short(self) -> str:
        """'2 safety, 3 evidence, 31 habit'; 'nothing' where there are none."""
        counts = Counter(flag.kind for one in self.rules for flag in one.flags)
        return ", ".join(f"{counts[kind]} {kind}" for kind in FlagKind if kind in counts) or "nothing"


def flag_sum(flags: Sequence[Flag]) -> FlagSum:
    """Flags rolled up."""
    by_rule: dict[str, list[Flag]] = {}
    for flag in flags:
        by_rule.setdefault(flag.rule, []).append(flag)
    return FlagSum(
        tuple(sorted((RuleSum(tuple(some)) for some in by_rule.values()), key=lambda one: one.order))
    )
