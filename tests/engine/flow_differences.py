"""Where a broken flow differs from a sound one: the conditions, acts and answers that an adversary aims at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from wizard.domain.references import ActRef, AnswerRef, RepairRef, StepRef
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.model import Flow
from wizard.safety import Act, Condition, Needs


@dataclass(frozen=True)
class Aims:
    """What to aim at. ``own`` are the acts that differ; ``acts`` need what differs; ``changing`` may change it, or what
    it rests on; ``answers`` say it; ``stops`` put it. ``drifting``: it is left alone otherwise.
    """

    own: tuple[ActRef, ...]
    acts: tuple[ActRef, ...]
    changing: tuple[ActRef, ...]
    answers: frozenset[AnswerRef]
    stops: tuple[str, ...]
    drifting: bool


def aims(sound: Rules, broken: Rules) -> Aims:
    """All that differs in what a flow says of the machine, and the acts that meet it."""
    was, now = ({act.id: act for act in rules.acts} for rules in (sound, broken))
    differing = {name for name in was.keys() | now.keys() if was.get(name) != now.get(name)}
    answers = frozenset(ref for name in differing for ref in _answers(was.get(name), now.get(name)))
    stops = _stops(sound.flow, broken.flow)
    drifting = set(_conditions(sound.flow, broken.flow))
    conditions = {
        *drifting,
        *(c for name in differing for c in _of_act(was.get(name), now.get(name))),
        *(c for stop in stops for c in _other(sound.flow.stops[stop].so, broken.flow.stops[stop].so)),
    }
    meeting = [
        name for name, act in was.items() if name in now and conditions & {*act.needs, *now[name].needs}
    ]
    bases = {
        base for c in conditions if c in sound.flow.conditions for base in sound.flow.conditions[c].rests_on
    }
    changing = [name for name, act in was.items() if name in now and (conditions | bases) & act.may.keys()]
    return Aims(
        tuple(name for name in now if name in differing),
        tuple(meeting),
        tuple(name for name in changing if isinstance(name, StepRef)),
        answers,
        stops,
        any(_alone(sound.flow, name) != _alone(broken.flow, name) for name in drifting),
    )


def _conditions(sound: Flow, broken: Flow) -> Iterator[str]:
    """Yield the conditions that behave otherwise, with those that rest on them."""
    for name in sound.conditions.keys() | broken.conditions.keys():
        was, now = sound.conditions.get(name), broken.conditions.get(name)
        if was is None or now is None or _behaviour(was) != _behaviour(now):
            yield name


def _behaviour(condition: Condition) -> tuple[object, ...]:
    return condition.alone, condition.rests_on, condition.latch, condition.passing, condition.applies


def _alone(flow: Flow, name: str) -> object:
    return flow.conditions[name].alone if name in flow.conditions else None


def _stops(sound: Flow, broken: Flow) -> tuple[str, ...]:
    both = sound.stops.keys() & broken.stops.keys()
    return tuple(sorted(name for name in both if sound.stops[name].so != broken.stops[name].so))


def _of_act(was: Act | None, now: Act | None) -> Iterator[str]:
    """Yield the conditions of which two forms of an act differ."""
    if was is None or now is None:
        only = was or now
        assert only is not None
        yield from only.may
        return
    yield from _other(was.needs, now.needs)
    yield from _other(was.may, now.may)
    given = {effect.id: effect.so for effect in was.answers}
    for effect in now.answers:
        yield from _other(given.get(effect.id, {}), effect.so)


def _other(was: Needs, now: Needs) -> Iterator[str]:
    for name in was.keys() | now.keys():
        if was.get(name) != now.get(name):
            yield name


def _answers(was: Act | None, now: Act | None) -> Iterator[AnswerRef]:
    """Yield the answers that say otherwise, or no longer stop work."""
    if was is None or now is None or isinstance(now.id, RepairRef):
        return
    given = {effect.id: (effect.so, effect.stop) for effect in was.answers}
    for effect in now.answers:
        if given.get(effect.id) != (effect.so, effect.stop):
            yield AnswerRef(now.id, effect.id)
