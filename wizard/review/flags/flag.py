"""A flag: something a reviewer may want to look at, with what it rests on and where it is. Never a judgement."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.domain.references import Target
from wizard.engine.messages.events import Recorded
from wizard.review.durations import clock as clock
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.flag_sorts import SORTS, FlagGravity, FlagKind
from wizard.review.flags.thresholds import Thresholds
from wizard.review.replay import Replay


@dataclass(frozen=True, slots=True)
class Flag:
    """One thing to look at. ``rule`` is its table in flags.toml; ``where`` is None where it is at no step.

    ``measure``: what was held against the threshold of ``flag_measures.HELD``; None where there is none.
    """

    rule: FlagId
    says: str
    evidence: str
    seq: int
    where: Target | None
    at: str
    measure: float | None = None

    @property
    def kind(self) -> FlagKind:
        """What it is about."""
        return SORTS[self.rule][0]

    @property
    def gravity(self) -> FlagGravity:
        """How much it is worth a look."""
        return SORTS[self.rule][1]


@dataclass(frozen=True, slots=True)
class FlagContext:
    """What the rules look at: the session gone through again, and the thresholds."""

    replay: Replay
    thresholds: Thresholds

    def number(self, rule: FlagId, key: str) -> float:
        """A threshold."""
        return self.thresholds.number(rule, key)

    def record(self, seq: int) -> Recorded | None:
        """The event with this number."""
        place = self.replay.place_of(seq)
        found = self.replay.records[place - 1] if place else None
        return found if found and found.seq == seq else None

    def flag(
        self,
        rule: FlagId,
        says: str,
        evidence: str,
        seq: int,
        where: Target | None = None,
        measure: float | None = None,
    ) -> Flag:
        """A flag at an event."""
        record = self.record(seq)
        return Flag(rule, says, evidence, seq, where, record.at if record else "", measure)

    def title(self, inspection: str) -> str:
        """An inspection's title."""
        return self.replay.flow.title_of(inspection)
