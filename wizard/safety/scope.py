"""What a search for some needs has to look at: the conditions and acts that can play a part in it, and no others.

What else is believed changes neither what is asked nor what an answer does to these, so it is left out of the search.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from wizard.domain.references import ActRef
from wizard.safety.belief_encoding import ConditionBits
from wizard.safety.form import Condition
from wizard.safety.model import Model
from wizard.safety.tables import ActMasks, NeedMasks


@dataclass(frozen=True, slots=True)
class Scope:
    """The part of a machine that some needs rest on: its fields and acts, and their bits (``mask``)."""

    needs: NeedMasks
    fields: tuple[ConditionBits, ...]
    acts: tuple[ActMasks, ...]
    mask: int


def scope(model: Model, needs: NeedMasks) -> Scope:
    """The scope of these needs: their conditions, what establishes them, what that needs, what these rest on."""
    names: set[str] = set()
    acts: dict[ActRef, ActMasks] = {}
    todo = [needs]
    while todo:
        wanted = todo.pop()
        names.update(wanted.allowed)
        for _, _, *establishers in model.asker.plan(wanted).firsts.values():
            for act in establishers:
                if act is not None and act.id not in acts:
                    acts[act.id] = act
                    todo.append(act.needs)
                    names.update(f.id for text in act.answers for f, _ in text.cut)
    names = with_bases(names, model.conditions)
    fields = tuple(f for f in model.tables.encoding.fields if f.id in names)
    doing = tuple(act for act in model.asker.order if act.id in acts)
    return Scope(needs, fields, doing, sum(f.all for f in fields))


def with_bases(names: Iterable[str], conditions: Mapping[str, Condition]) -> set[str]:
    """These conditions and all that they rest on."""
    found: set[str] = set()
    todo = list(names)
    while todo:
        name = todo.pop()
        if name in conditions and name not in found:
            found.add(name)
            todo.extend(conditions[name].rests_on)
    return found
