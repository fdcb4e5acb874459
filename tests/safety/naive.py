"""The same rules once more, as plainly as can be, on dicts of sets: the fast model is compared with them."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.safety import Act, Belief, Model, Needs

Sets = dict[str, frozenset[str]]


def settle(model: Model, belief: Belief) -> Sets:
    """Widen what has lost what it rests on, until nothing changes any more."""
    now = dict(belief)
    while True:
        before = dict(now)
        for name, condition in model.conditions.items():
            if any(base in now and not now[base] <= held for base, held in condition.rests_on.items()):
                now[name] = turned(model, name, now[name])
        if now == before:
            return now


def turned(model: Model, name: str, values: frozenset[str]) -> frozenset[str]:
    return frozenset[str]().union(*(model.conditions[name].alone[value] for value in values))


def away(model: Model, belief: Belief) -> Sets:
    return settle(model, {name: turned(model, name, values) for name, values in belief.items()})


def all_of(model: Model, name: str, believed: frozenset[str]) -> frozenset[str]:
    """All values but latches, and the latches that are believed."""
    condition = model.conditions[name]
    return frozenset(condition.values) - condition.latch | believed & condition.latch


def forget(model: Model, belief: Belief, names: Mapping[str, object] | set[str]) -> Sets:
    return settle(model, {n: all_of(model, n, b) if n in names else b for n, b in belief.items()})


def anew(model: Model, belief: Belief) -> Sets:
    return forget(model, belief, set(belief))


def show(model: Model, belief: Belief, act: Act) -> Sets:
    return settle(model, {name: values | act.may.get(name, frozenset()) for name, values in belief.items()})


def answer(model: Model, belief: Belief, act: Act, so: Needs) -> tuple[Sets, list[str]]:
    now, against = dict(belief), []
    for name, said in so.items():
        if name not in belief:
            continue
        latch = model.conditions[name].latch
        if name in act.may or said & latch:
            now[name] = said
        elif belief[name] & said:
            now[name] = belief[name] & said
        else:
            now[name] = belief[name] | said
            against.append(name)
        now[name] |= belief[name] & latch
    return settle(model, now), [name for name in belief if name in against]


def establisher(model: Model, name: str, allowed: frozenset[str], possible: bool) -> Act | None:
    for act in model.acts.values():
        if act.establishes and act.usual and name in act.usual.so:
            gives = act.usual.so[name] <= allowed
            if gives and (name in act.may or possible):
                return act
    return None


def next_step(model: Model, belief: Belief, needs: Needs, way: tuple[str, ...] = ()) -> object:
    """None, ('ask', act, condition, the acts that it is for), or ('bar', kind, condition)."""
    needs = {name: needs[name] for name in model.conditions if name in needs}
    missing = [name for name in needs if not belief[name] <= needs[name]]
    for name in missing:
        if belief[name] & model.conditions[name].latch:
            return "bar", "latch", name
    for name in needs:
        if not belief[name] & needs[name] and establisher(model, name, needs[name], False) is None:
            return "bar", "known-bad", name
    if not missing:
        return None
    name = missing[0]
    act = establisher(model, name, needs[name], bool(belief[name] & needs[name]))
    if act is None or act.id in way:
        return "bar", "stuck", name
    deeper = next_step(model, belief, act.needs, (*way, act.id))
    return deeper if deeper is not None else ("ask", act.id, name, tuple(reversed(way)))
