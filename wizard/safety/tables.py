"""Needs, acts and answers of one machine, made into masks once: then a step is a few operations on integers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wizard.domain.references import ActRef
from wizard.safety.belief_encoding import BeliefEncoding, ConditionBits
from wizard.safety.drift import Drift
from wizard.safety.form import Act, Condition, Effect, Needs, Tick


@dataclass(frozen=True, slots=True)
class NeedMasks:
    """Needs as masks: ``forbidden`` are the bits that must not be believed, ``allowed`` the others, by condition."""

    forbidden: int
    allowed: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class AnswerMasks:
    """What an answer says, as masks. ``put`` replaces all of ``over`` (but latches); ``cut`` narrows field by
    field.
    """

    id: str
    usual: bool
    stop: bool
    over: int
    put: int
    kept: int
    cut: tuple[tuple[ConditionBits, int], ...]


@dataclass(frozen=True, slots=True)
class TickMasks:
    """What may be said by ticking an answer or leaving it: each with whether it is ticked, the usual first."""

    id: str
    field: ConditionBits
    sayings: tuple[tuple[bool, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class ActMasks:
    """An act as masks: its needs, what may come of it, its answers, all that it touches. Equal is the same act."""

    id: ActRef
    establishes: bool
    needs: NeedMasks
    may: int
    changes: int
    answers: tuple[AnswerMasks, ...]
    touched: int
    usual: Mapping[str, int]
    ticks: tuple[TickMasks, ...] = ()


@dataclass(frozen=True, slots=True)
class Tables:
    """One machine in masks: where each value's bit is, what values turn into alone, what acts need and bring
    about.
    """

    encoding: BeliefEncoding
    drift: Drift
    acts: Mapping[ActRef, ActMasks]

    @classmethod
    def of(cls, conditions: tuple[Condition, ...], acts: Iterable[Act]) -> Tables:
        """The tables of these conditions and acts; needs, may and so name values of them, or conditions not here."""
        encoding = BeliefEncoding.of(conditions)
        masks = {act.id: compile_act(encoding, act) for act in acts}
        return cls(encoding, Drift.of(encoding, conditions), masks)


def compile_needs(encoding: BeliefEncoding, needs: Needs) -> NeedMasks:
    """These needs as masks. Those on conditions that the machine doesn't have are left out."""
    pairs = encoding.pairs(needs)
    return NeedMasks(sum(f.all & ~mask for f, mask in pairs), {f.id: mask for f, mask in pairs})


def compile_answer(encoding: BeliefEncoding, effect: Effect, changes: int) -> AnswerMasks:
    """An answer as masks. ``changes`` are all bits of the conditions in its act's ``may``. A latch is always put."""
    over = put = 0
    cut: list[tuple[ConditionBits, int]] = []
    for f, mask in encoding.pairs(effect.so):
        if f.all & changes or mask & f.latch:
            over, put = over | f.all, put | mask
        else:
            cut.append((f, mask))
    return AnswerMasks(effect.id, effect.usual, effect.stop, over, put, encoding.latches & over, tuple(cut))


def compile_act(encoding: BeliefEncoding, act: Act) -> ActMasks:
    """An act as masks."""
    may = encoding.pairs(act.may)
    changes = sum(f.all for f, _ in may)
    answers = tuple(compile_answer(encoding, effect, changes) for effect in act.answers)
    touched = changes
    for each in answers:
        touched |= each.over
        for f, _ in each.cut:
            touched |= f.all
    return ActMasks(
        id=act.id,
        establishes=act.establishes,
        needs=compile_needs(encoding, act.needs),
        may=sum(mask for _, mask in may),
        changes=changes,
        answers=answers,
        touched=touched,
        usual={f.id: mask for f, mask in encoding.pairs(act.usual.so)} if act.usual else {},
        ticks=tuple(
            compile_tick(encoding.by_id[t.condition], t) for t in act.ticks if t.condition in encoding.by_id
        ),
    )


def compile_tick(f: ConditionBits, tick: Tick) -> TickMasks:
    """A tick as masks."""
    sayings = [
        (given, f.mask(values)) for given, values in ((True, tick.given), (False, tick.left)) if values
    ]
    return TickMasks(tick.id, f, tuple(sayings if tick.usual else reversed(sayings)))
