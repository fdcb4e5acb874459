"""What a belief rests on: how few steps can bring it about once it and what it rests on were widened.

That something is verified, or measured to be dead, must never hang on one answer: a slip of the finger is one answer.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import combinations, product

from wizard.domain.references import ActRef
from wizard.safety import changing
from wizard.safety.belief_encoding import ConditionBits
from wizard.safety.model import Model
from wizard.safety.scope import with_bases
from wizard.safety.tables import ActMasks


def shortcut(
    model: Model, condition: str, values: frozenset[str], steps: int = 2
) -> tuple[ActRef, ...] | None:
    """Fewer than ``steps`` acts that suffice for these values of a condition to be believed; None where none do.

    It begins with the condition and all that it rests on widened: of each, a value is possible with which it would
    not be believed. What else is needed is taken to hold, and any answer may be given, any number of times.
    """
    names = with_bases((condition,), model.conditions)
    fields = tuple(f for f in model.tables.encoding.fields if f.id in names)
    goal = model.tables.encoding.by_id[condition]
    wanted = {f.id: f.all & ~f.latch for f in fields}
    for name in names:
        for base, holds in model.conditions[name].rests_on.items():
            if base in wanted:
                wanted[base] &= model.tables.encoding.by_id[base].mask(holds)
    wanted[condition] = goal.mask(values)
    mask = sum(f.all for f in fields)
    acts = [act for act in model.tables.acts.values() if act.touched & mask]
    starts = {
        model.tables.drift.settle(sum(bits)) for bits in product(*(_widened(f, wanted[f.id]) for f in fields))
    }
    for few in range(1, steps):
        for chosen in combinations(acts, few):
            if any(
                not bits & goal.all & ~wanted[condition] for bits in _reached(model, starts, chosen, mask)
            ):
                return tuple(act.id for act in chosen)
    return None


def _widened(f: ConditionBits, wanted: int) -> Iterator[int]:
    """The narrowest sets of values that aren't within those wanted: one that is not, alone or with one that is.

    Wider sets lead to wider beliefs, whatever is answered.
    """
    for bad in f.values.values():
        if not bad & (wanted | f.latch):
            yield bad
            for good in f.values.values():
                if good & wanted:
                    yield bad | good


def _reached(model: Model, starts: Iterable[int], acts: Iterable[ActMasks], mask: int) -> set[int]:
    """All beliefs that these acts and their answers lead to, where their needs within the mask hold."""
    seen = set(starts)
    todo = list(seen)
    while todo:
        bits = todo.pop()
        for act in acts:
            if bits & act.needs.forbidden & mask:
                continue
            shown = changing.show(model.tables, bits, act) & mask
            for text in act.answers:
                after = changing.answer(model.tables, shown, text)[0] & mask
                if after not in seen:
                    seen.add(after)
                    todo.append(after)
    return seen
