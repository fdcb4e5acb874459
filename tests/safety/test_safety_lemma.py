"""Event by event: the truth stays in the belief, under true answers and what changes alone."""

from __future__ import annotations

from random import Random

from hypothesis import given

from tests.safety import naive
from tests.safety.beliefs import CHANCE, MODELS, any_belief, believed
from tests.safety.true_machine import TrueMachine
from wizard.safety import Ask, Barred, BarredKind, Effect, Model


@given(model=MODELS, chance=CHANCE)
def test_settling_keeps_the_truth(model: Model, chance: Random) -> None:
    """What has lost what it rests on may have changed; the belief has widened by as much."""
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    machine.follow(chance)
    assert not machine.outside(model.settle(belief))


@given(model=MODELS, chance=CHANCE)
def test_an_act_begun_and_left_keeps_the_truth(model: Model, chance: Random) -> None:
    """What may come of it is written ahead, so it may be left at any moment."""
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    act = chance.choice(list(model.acts.values()))
    machine.half_done(chance, act)
    assert not machine.outside(model.show(belief, act.id))


@given(model=MODELS, chance=CHANCE)
def test_a_true_answer_keeps_the_truth(model: Model, chance: Random) -> None:
    """Done and truly answered: the truth is within, and nothing contradicts."""
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    act = chance.choice(list(model.acts.values()))
    for effect in machine.honest(act)[:1]:
        machine.done(chance, act, effect)
        after, against = model.answer(model.show(belief, act.id), act.id, effect.so)
        assert not machine.outside(after)
        assert not against


@given(model=MODELS, chance=CHANCE)
def test_being_away_keeps_the_truth(model: Model, chance: Random) -> None:
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    machine.nobody_attends(chance)
    assert not machine.outside(model.away(belief))


@given(model=MODELS, chance=CHANCE)
def test_beginning_anew_keeps_the_truth(model: Model, chance: Random) -> None:
    """Whatever was done to the machine, all of it is thought possible."""
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    machine.becomes_anything(chance)
    assert not machine.outside(model.anew(belief))


@given(model=MODELS, chance=CHANCE)
def test_forgetting_keeps_the_truth(model: Model, chance: Random) -> None:
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    act = chance.choice(list(model.acts.values()))
    assert not machine.outside(model.forget(belief, model.touches(act.id)))


@given(model=MODELS, chance=CHANCE)
def test_widening_never_narrows(model: Model, chance: Random) -> None:
    """Whatever is possible before being away, a fresh beginning or an undo is possible after it."""
    belief = any_belief(model, chance)
    act = chance.choice(list(model.acts.values()))
    for after in (
        model.away(belief),
        model.anew(belief),
        model.show(belief, act.id),
        model.forget(belief, model.touches(act.id)),
    ):
        assert all(belief[name] <= after[name] for name in belief)


@given(model=MODELS, chance=CHANCE)
def test_being_away_twice_is_no_more_than_once(model: Model, chance: Random) -> None:
    """However long it was: what values turn into is closed."""
    once = model.away(any_belief(model, chance))
    assert model.away(once) == once
    assert model.settle(once) == once


@given(model=MODELS, chance=CHANCE)
def test_a_latch_outlives_all_but_its_release(model: Model, chance: Random) -> None:
    """No event and no answer to any step takes a latch away, true or not."""
    belief = any_belief(model, chance)
    latched = set(model.latched(belief))
    act = chance.choice(list(model.acts.values()))
    afters = [model.away(belief), model.anew(belief), model.show(belief, act.id), model.settle(belief)]
    afters += [model.forget(belief, model.conditions), model.forget(belief, model.touches(act.id))]
    afters += [model.answer(belief, act.id, effect.so)[0] for effect in act.answers]
    afters += [model.learn(belief, effect.so)[0] for effect in act.answers]
    for after in afters:
        assert latched <= set(model.latched(after))
    for name in latched:
        released = model.release(belief, name)
        assert name not in model.latched(released)
        assert released[name] == model.top()[name]


@given(model=MODELS, chance=CHANCE)
def test_the_fast_model_is_the_plain_one(model: Model, chance: Random) -> None:
    """Integers with a bit a value do what dicts of sets do."""
    belief = any_belief(model, chance)
    act = chance.choice(list(model.acts.values()))
    effect = chance.choice(act.answers)
    assert model.settle(belief) == naive.settle(model, belief)
    assert model.away(belief) == naive.away(model, belief)
    assert model.anew(belief) == naive.anew(model, belief)
    assert model.show(belief, act.id) == naive.show(model, belief, act)
    touched = set(model.touches(act.id))
    assert model.forget(belief, touched) == naive.forget(model, belief, touched)
    after, against = model.answer(belief, act.id, effect.so)
    assert (after, [c.condition for c in against]) == naive.answer(model, belief, act, effect.so)


@given(model=MODELS, chance=CHANCE)
def test_what_is_asked_is_what_the_plain_rule_asks(model: Model, chance: Random) -> None:
    belief = any_belief(model, chance)
    act = chance.choice(list(model.acts.values()))
    found = model.next_step(belief, act.needs)
    as_plain: object = None
    if isinstance(found, Ask):
        as_plain = ("ask", found.act, found.condition, found.because)
    elif isinstance(found, Barred):
        as_plain = ("bar", found.kind, found.condition)
    assert as_plain == naive.next_step(model, belief, act.needs)
    assert (found is None) == model.holds(belief, act.needs) == (not model.missing(belief, act.needs))


@given(model=MODELS, chance=CHANCE)
def test_whoever_helps_comes_to_the_end(model: Model, chance: Random) -> None:
    """From any truth and any belief with it inside, true answers as usual as can be bring about the needs of any act.

    Or it is barred: by a latch, by what is known not to be sound; or an honest answer can only stop the work.
    """
    machine = TrueMachine(model, chance)
    belief = believed(model, machine, chance)
    target = chance.choice(list(model.acts.values()))
    for _ in range(80):
        found = model.next_step(belief, target.needs)
        if found is None or isinstance(found, Barred):
            assert found is None or found.kind is not BarredKind.STUCK
            return
        act = model.acts[found.act]
        belief = model.show(belief, act.id)
        honest = sorted(machine.honest(act), key=lambda effect: (effect.stop, not effect.usual))
        assert honest, f"nobody can answer {act.id} truly"
        effect: Effect = honest[0]
        if effect.stop:
            return
        machine.done(chance, act, effect)
        belief, _ = model.answer(belief, act.id, effect.so)
        assert not machine.outside(belief)
    raise AssertionError(f"{target.id} is never reached; asked last: {found}")
