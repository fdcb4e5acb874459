"""What came of all edits of a flow: by kind, and those that nobody notices, the gravest first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from wizard.flowcheck.weak.accepted import Acceptance
from wizard.flowcheck.weak.edit_kinds import GRAVITY, EditGravity, EditKind, Noticed
from wizard.flowcheck.weak.edit_trial import EditTrial
from wizard.flowcheck.weak.flow_edit import FlowEdit


@dataclass(frozen=True, slots=True)
class KindCounts:
    """How many edits of a kind were noticed by what. ``accepted`` are those of ``none`` that weak.toml accepts."""

    kind: EditKind
    edits: int
    by: dict[Noticed, int]
    accepted: int

    @property
    def left(self) -> int:
        """Those that nobody notices and nobody accepted."""
        return self.by[Noticed.NONE] - self.accepted


@dataclass(frozen=True, slots=True)
class Unnoticed:
    """An edit that nothing notices, and what accepts it, if something does."""

    trial: EditTrial
    acceptance: Acceptance | None

    @property
    def gravity(self) -> EditGravity:
        """What is at risk."""
        return self.trial.edit.gravity


@dataclass(frozen=True, slots=True)
class WeakResult:
    """All edits that were tried of a flow. ``needless`` are acceptances of edits that are noticed by now."""

    kinds: tuple[KindCounts, ...]
    unnoticed: tuple[Unnoticed, ...]
    needless: tuple[Acceptance, ...]

    @property
    def edits(self) -> int:
        """How many were tried."""
        return sum(one.edits for one in self.kinds)

    def left(self, gravity: EditGravity | None = None) -> tuple[Unnoticed, ...]:
        """Those that nobody notices and nobody accepted, of one gravity or of all."""
        return tuple(
            one for one in self.unnoticed if one.acceptance is None and gravity in (None, one.gravity)
        )

    def as_table(self) -> dict[str, Any]:
        """It as plain values, for programs."""
        return {
            "edits": self.edits,
            "left": {gravity.value: len(self.left(gravity)) for gravity in EditGravity},
            "kinds": [
                {"kind": one.kind.value, "gravity": GRAVITY[one.kind].value, "edits": one.edits}
                | {how.value: count for how, count in one.by.items()}
                | {"accepted": one.accepted}
                for one in self.kinds
            ],
            "unnoticed": [
                {
                    "edit": one.trial.edit.id,
                    "file": one.trial.edit.file,
                    "line": one.trial.edit.line,
                    "kind": one.trial.edit.kind.value,
                    "gravity": one.gravity.value,
                    "says": one.trial.edit.says,
                    "would_notice": one.trial.says,
                    "cases_tried": one.trial.cases,
                    "cases_that_come_to_it": one.trial.could,
                    "accepted": one.acceptance.reason if one.acceptance else None,
                }
                for one in self.unnoticed
            ],
            "needless": [one.name for one in self.needless],
        }


def result(
    trials: Iterable[EditTrial], accepted: Sequence[Acceptance], edits: Iterable[FlowEdit]
) -> WeakResult:
    """Return what came of edits, beside what weak.toml accepts; ``edits`` are all that there are, tried or not."""
    some, every = tuple(trials), tuple(edits)
    unnoticed = tuple(
        Unnoticed(one, next((a for a in accepted if a.of(one.edit)), None))
        for one in some
        if one.noticed is Noticed.NONE
    )
    order = tuple(EditGravity)
    used = {one.acceptance for one in unnoticed}
    tried = {one.edit.id for one in some}
    theirs = {a: [edit.id for edit in every if a.of(edit)] for a in accepted}
    judged = [a for a, ids in theirs.items() if ids and tried.issuperset(ids)]
    return WeakResult(
        tuple(_counts(kind, some, unnoticed) for kind in EditKind if any(t.edit.kind is kind for t in some)),
        tuple(
            sorted(
                unnoticed,
                key=lambda one: (order.index(one.gravity), one.trial.edit.file, one.trial.edit.line),
            )
        ),
        tuple(a for a in judged if a not in used),
    )


def _counts(kind: EditKind, trials: Iterable[EditTrial], unnoticed: Iterable[Unnoticed]) -> KindCounts:
    by = Counter(one.noticed for one in trials if one.edit.kind is kind)
    some = sum(one.acceptance is not None for one in unnoticed if one.trial.edit.kind is kind)
    return KindCounts(kind, by.total(), {how: by[how] for how in Noticed}, some)
