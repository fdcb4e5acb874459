"""What a set of conditions, reaches and acts must satisfy for the model to mean what it says. All problems at
once.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from wizard.safety.form import Act, Condition, Needs, Reach, closed
from wizard.safety.kinds import ModelProblemKind


@dataclass(frozen=True, slots=True)
class ModelProblem:
    """Something wrong: the ``owner`` (a condition, a reach or an act) and its key, and what it is in words."""

    kind: ModelProblemKind
    owner: Condition | Reach | Act
    key: str
    says: str


def problems(
    conditions: Iterable[Condition], reaches: Iterable[Reach], acts: Iterable[Act]
) -> tuple[ModelProblem, ...]:
    """All problems of these, in their order. A model may be made of them only where there are none."""
    conditions, reaches, acts = tuple(conditions), tuple(reaches), tuple(acts)
    by_id = {c.id: c for c in conditions}
    found: list[ModelProblem] = []
    found += _twice(conditions)
    found += _twice(reaches)
    found += _twice(acts)
    for condition in conditions:
        found += _alone(condition)
        found += _named(by_id, condition, "while", condition.rests_on)
    found += _circle(by_id)
    for reach in reaches:
        found += _named(by_id, reach, "needs", reach.needs)
        found += _latch(by_id, reach, "needs", reach.needs)
    for act in acts:
        found += _named(by_id, act, "needs", act.needs)
        found += _latch(by_id, act, "needs", act.needs)
        found += _named(by_id, act, "may", act.may)
        found += _latch(by_id, act, "may", act.may)
        found += _answers(by_id, act)
    return tuple(found)


def _twice(owners: tuple[Condition, ...] | tuple[Reach, ...] | tuple[Act, ...]) -> Iterator[ModelProblem]:
    """An id is given once."""
    counts = Counter(owner.id for owner in owners)
    for owner in owners:
        if counts[owner.id] > 1:
            yield ModelProblem(
                ModelProblemKind.TWICE, owner, "id", f"{owner.id!r} is there {counts[owner.id]} times"
            )


def _named(
    by_id: Mapping[str, Condition], owner: Condition | Reach | Act, key: str, sets: Needs
) -> Iterator[ModelProblem]:
    """Conditions and values are known, and no set is empty."""
    for name, values in sets.items():
        condition = by_id.get(name)
        if condition is None:
            yield ModelProblem(ModelProblemKind.UNKNOWN, owner, key, f"there is no condition {name!r}")
            continue
        if not values:
            yield ModelProblem(ModelProblemKind.EMPTY, owner, key, f"no value of {name!r} is named")
        for value in sorted(values - condition.values.keys()):
            yield ModelProblem(
                ModelProblemKind.UNKNOWN, owner, key, f"condition {name!r} has no value {value!r}"
            )


def _alone(condition: Condition) -> Iterator[ModelProblem]:
    """What values turn into alone is known and closed; a latch is known, isn't all there is, and stays as it is."""
    known = condition.values.keys()
    names = [("alone", v) for v in condition.alone] + [("latch", v) for v in sorted(condition.latch)]
    names += [("alone", v) for turns in condition.alone.values() for v in sorted(turns)]
    for key, value in dict.fromkeys(names):
        if value not in known:
            yield ModelProblem(ModelProblemKind.UNKNOWN, condition, key, f"there is no value {value!r}")
    whole = closed(condition.values, condition.alone)
    for value in condition.alone:
        lacks = sorted(whole.get(value, frozenset()) - condition.alone[value])
        if lacks:
            words = f"{value!r} may turn into {', '.join(map(repr, lacks))} too"
            yield ModelProblem(ModelProblemKind.OPEN, condition, "alone", words)
    if not known - condition.latch:
        yield ModelProblem(ModelProblemKind.EMPTY, condition, "values", "there is no value but latches")
    for value, turns in whole.items():
        crossing = sorted(
            v for v in turns if v != value and (v in condition.latch or value in condition.latch)
        )
        for other in crossing:
            words = f"{value!r} turns into {other!r} alone, and a latch comes by an answer and goes by its release"
            yield ModelProblem(ModelProblemKind.LATCH, condition, "alone", words)


def _circle(by_id: Mapping[str, Condition]) -> Iterator[ModelProblem]:
    """Nothing rests on itself, through others or directly."""
    graph = {c.id: [base for base in c.rests_on if base in by_id] for c in by_id.values()}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        circle: list[str] = error.args[1]
        words = f"conditions rest on each other in a circle: {', '.join(reversed(circle))}"
        yield ModelProblem(ModelProblemKind.CIRCLE, by_id[circle[0]], "while", words)


def _latch(
    by_id: Mapping[str, Condition], owner: Reach | Act, key: str, sets: Needs
) -> Iterator[ModelProblem]:
    """No latch is needed, and none is written ahead."""
    for name, values in sets.items():
        latch = by_id[name].latch if name in by_id else frozenset()
        for value in sorted(values & latch):
            yield ModelProblem(ModelProblemKind.LATCH, owner, key, f"{value!r} of {name!r} is a latch")


def _answers(by_id: Mapping[str, Condition], act: Act) -> Iterator[ModelProblem]:
    """Answers have ids of their own, one is usual at most, and they say what can come of the act."""
    counts = Counter(effect.id for effect in act.answers)
    for name in (name for name, count in counts.items() if count > 1):
        yield ModelProblem(
            ModelProblemKind.TWICE, act, "answer", f"answer {name!r} is there {counts[name]} times"
        )
    usual = [effect for effect in act.answers if effect.usual]
    if len(usual) > 1:
        words = f"{', '.join(repr(effect.id) for effect in usual)} can't all be the usual answer"
        yield ModelProblem(ModelProblemKind.USUAL, act, "answer", words)
    for effect in usual:
        if effect.stop:
            yield ModelProblem(
                ModelProblemKind.USUAL, act, "answer", f"the usual answer {effect.id!r} stops work"
            )
    for effect in act.answers:
        yield from _named(by_id, act, "so", effect.so)
        yield from _outside(by_id, act, effect.id, effect.so)


def _outside(by_id: Mapping[str, Condition], act: Act, answer: str, so: Needs) -> Iterator[ModelProblem]:
    """Of what an act may do an answer says no more than its ``may``; of a latch it says that it stands and no
    more.
    """
    for name, values in so.items():
        latch = by_id[name].latch if name in by_id else frozenset()
        if values & latch:
            if values - latch:
                words = f"answer {answer!r} leaves open whether the latch of {name!r} stands"
                yield ModelProblem(ModelProblemKind.LATCH, act, "so", words)
        elif name in act.may and not values <= act.may[name]:
            beyond = ", ".join(repr(v) for v in sorted(values - act.may[name]))
            words = f"answer {answer!r} says {beyond} of {name!r}, which its 'may' doesn't name"
            yield ModelProblem(ModelProblemKind.OUTSIDE, act, "so", words)
