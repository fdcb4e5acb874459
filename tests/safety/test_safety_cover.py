"""The proof over all beliefs at once, against counting them one by one."""

from __future__ import annotations

from itertools import chain, combinations, product
from random import Random

import pytest
from hypothesis import given, settings

from tests.helpers.flows.examples import examples
from tests.safety.belief_search import targets
from tests.safety.beliefs import CHANCE
from tests.safety.lab import FACTS, kinds_of_machine, lab
from tests.safety.small import act, condition, model, sets, small
from wizard.safety import Act, Ask, BarredKind, Belief, Condition, Effect, Model, Needs, Tick, closed
from wizard.safety.cover import Cover, CoverResult
from wizard.safety.cover.flow_blocks import FlowBlocks
from wizard.safety.cover.trap import Trap, trap

VALUES = ("a", "b", "c")
KINDS = {"kind": ("x", "y")}


def covered(conditions: list[Condition], acts: list[Act], needs: Needs) -> Cover:
    """A cover that was asked for these needs."""
    return Cover(FlowBlocks.of({c.id: c for c in conditions}, acts, KINDS))


def beliefs(machine: Model) -> list[Belief]:
    """Every settled belief without a latch."""
    of_each = []
    for each in machine.conditions.values():
        names = [v for v in each.values if v not in each.latch]
        subsets = chain.from_iterable(combinations(names, n) for n in range(1, len(names) + 1))
        of_each.append([frozenset(s) for s in subsets])
    every = (dict(zip(machine.conditions, sets_of, strict=True)) for sets_of in product(*of_each))
    return [b for b in every if machine.settle(b) == b]


def stuck(machine: Model, needs: Needs) -> list[Belief]:
    """The beliefs from which asking, answered as usual, comes to no end that is said in words."""
    return [belief for belief in beliefs(machine) if not ends(machine, belief, needs)]


def ends(machine: Model, belief: Belief, needs: Needs) -> bool:
    """True where all needs come to hold, where it is said why not, or where only an answer fits that stops work."""
    seen = []
    while belief not in seen:
        seen.append(belief)
        coming = machine.next_step(belief, needs)
        if not isinstance(coming, Ask):
            return coming is None or coming.kind is not BarredKind.STUCK
        doing = machine.acts[coming.act]
        after = fitting(machine, machine.show(belief, doing.id), doing)
        if after is None:
            return any(effect.stop for effect in doing.answers)
        belief = after
    return False


def fitting(machine: Model, shown: Belief, doing: Act) -> Belief | None:
    """The belief after the usual answer, or the first that contradicts nothing; of ticks as many as usual."""
    if doing.ticks:
        ticked = {}
        for tick in doing.ticks:
            usual, other = (tick.given, tick.left) if tick.usual else (tick.left, tick.given)
            here = shown.get(tick.condition, usual)
            ticked[tick.condition] = usual if here & usual or tick.condition in doing.may else other
        effects = [Effect("ticked", ticked)]
    else:
        effects = sorted((e for e in doing.answers if not e.stop), key=lambda e: not e.usual)
    for effect in effects:
        after, against = machine.answer(shown, doing.id, effect.so)
        if not against:
            return after
    return None


def drawn(chance: Random) -> tuple[list[Condition], list[Act], Needs]:
    """Some conditions, some acts and some needs: most of them make no sense."""
    conditions: list[Condition] = []
    for n in range(chance.randint(2, 4)):
        words = {v: v for v in VALUES[: chance.randint(2, 3)]}
        alone = {v: some(chance, words) | {v} for v in words if chance.random() < 0.4}
        rests = {c.id: some(chance, c.values) for c in conditions if chance.random() < 0.3}
        applies = {"kind": ("x",)} if chance.random() < 0.3 else {}
        conditions.append(
            Condition(f"c{n}", f"C{n}", words, closed(words, alone), rests, frozenset(), applies)
        )
    acts = [drawn_act(chance, f"a{n}", conditions) for n in range(chance.randint(2, 6))]
    return conditions, acts, needed(chance, conditions, 0.6)


def some(chance: Random, values: object) -> frozenset[str]:
    names = sorted(values)  # type: ignore[call-overload]
    return frozenset(chance.sample(names, chance.randint(1, len(names))))


def needed(chance: Random, conditions: list[Condition], often: float) -> dict[str, frozenset[str]]:
    return {
        c.id: frozenset(chance.sample(sorted(c.values), chance.randint(1, len(c.values) - 1)))
        for c in conditions
        if chance.random() < often
    }


def drawn_act(chance: Random, name: str, conditions: list[Condition]) -> Act:
    """An act for one of the conditions or several; now and then one with ticks."""
    if chance.random() < 0.15:
        chosen = chance.sample(conditions, 2)
        ticks = tuple(
            Tick(c.id, c.id, frozenset((v,)), frozenset(c.values) - {v}, True)
            for c in chosen
            for v in (chance.choice(sorted(c.values)),)
        )
        usual = Effect("all", {t.condition: t.given for t in ticks}, usual=True)
        return Act(name, needed(chance, conditions, 0.2), {}, (usual,), ticks=ticks)
    may = {c.id: some(chance, c.values) for c in conditions if chance.random() < 0.5}
    answers = []
    for n in range(chance.randint(1, 3)):
        so = {
            c.id: some(chance, may.get(c.id, frozenset(c.values)))
            for c in conditions
            if chance.random() < (0.8 if c.id in may else 0.2)
        }
        answers.append(Effect(f"e{n}", so, usual=n == 0, stop=n > 0 and chance.random() < 0.2))
    applies = {"kind": ("y",)} if chance.random() < 0.2 else {}
    return Act(name, needed(chance, conditions, 0.3), may, tuple(answers), applies=applies)


@settings(max_examples=examples(250), derandomize=True, database=None)
@given(chance=CHANCE)
def test_what_is_proved_is_true_of_every_belief(chance: Random) -> None:
    """Counted out: where there is no gap, no belief of any machine is stuck."""
    conditions, acts, needs = drawn(chance)
    if covered(conditions, acts, needs).meets(needs).gap is None:
        for kind in KINDS["kind"]:
            machine = Model.of(conditions, (), acts, {"kind": kind})
            assert stuck(machine, needs) == []


def test_enough_is_proved_and_enough_is_not() -> None:
    """Of what is drawn some is proved that needs something, and most of what isn't proved is really stuck."""
    proved = really = doubtful = 0
    for number in range(250):
        conditions, acts, needs = drawn(Random(number))
        if not needs:
            continue
        if covered(conditions, acts, needs).meets(needs).gap is None:
            proved += 1
            continue
        machines = (Model.of(conditions, (), acts, {"kind": kind}) for kind in KINDS["kind"])
        if any(stuck(machine, needs) for machine in machines):
            really += 1
        else:
            doubtful += 1
    assert proved > 20 and really > 60
    assert doubtful <= really / 5


def test_the_small_library_of_the_tests_is_proved_whole() -> None:
    """Every reach and act of the six kinds of machine, at once; the search finds no dead end there either."""
    cover = Cover(FlowBlocks.of({c.id: c for c in lab().conditions}, lab().acts, FACTS))
    for facts in kinds_of_machine():
        for name, needs in targets(lab().model(**facts)):
            assert cover.meets(needs).gap is None, name


class Forgetful(dict[object, object]):
    """Ways that are not kept: each is followed anew."""

    def __setitem__(self, key: object, value: object) -> None:
        """Keep nothing."""

    def setdefault(self, key: object, default: object = None) -> object:
        """Keep nothing, and give what would have been kept."""
        return default


def same(one: CoverResult, other: CoverResult) -> bool:
    """Whether two proofs say the same, however many acts they followed."""
    return (one.gap is None, one.bars, one.stops) == (other.gap is None, other.bars, other.stops)


def anew(compiled: FlowBlocks) -> Cover:
    """A cover that follows each way whenever it comes to it."""
    return Cover(compiled, known=Forgetful(), widened=Forgetful(), done=Forgetful())  # type: ignore[arg-type]


@settings(max_examples=examples(150), derandomize=True, database=None)
@given(chance=CHANCE)
def test_a_way_that_is_kept_leads_where_it_would_if_it_were_followed_anew(chance: Random) -> None:
    """All needs of a machine asked of one cover: its acts' and what else is drawn, as by one that keeps nothing."""
    conditions, acts, needs = drawn(chance)
    compiled = FlowBlocks.of({c.id: c for c in conditions}, acts, KINDS)
    keeping = Cover(compiled)
    for asked in (*(each.needs for each in acts), needs, needs):
        assert same(keeping.meets(asked), anew(compiled).meets(asked))


def test_ways_that_are_kept_prove_the_library_of_the_tests_with_fewer_acts() -> None:
    """With the same bars and stops."""
    compiled = FlowBlocks.of({c.id: c for c in lab().conditions}, lab().acts, FACTS)
    keeping, steps, without = Cover(compiled), 0, 0
    for _, needs in targets(lab().model(**next(iter(kinds_of_machine())))):
        forgetful = anew(compiled)
        one, other = keeping.meets(needs), forgetful.meets(needs)
        assert same(one, other) and not forgetful.known, "what it is held against keeps nothing"
        steps, without = steps + one.steps, without + other.steps
    assert 2 * steps < without


def test_a_way_followed_for_one_frame_proves_nothing_for_another() -> None:
    """The same need from the same beliefs, with the tap shut by chance and then on purpose: only then is its loss a
    circle, as one act undoes the other. Asked in both orders.
    """
    lamp, door = condition("lamp", "on off"), condition("door", "open shut")
    acts = [
        act("shut", "shut: tap=shut pin=out", may="tap=open|shut pin=in|out"),
        act("lamp", "on: lamp=on tap=shut", may="lamp=on|off tap=open|shut"),
        act("pin", "in: pin=in tap=open", may="pin=in|out tap=open|shut"),
        act("door", "open: door=open", needs="pin=in", may="door=open|shut"),
    ]
    compiled = FlowBlocks.of({c.id: c for c in (LAST, PIN, lamp, door)}, acts, KINDS)
    chance, purpose = sets("lamp=on door=open"), sets("tap=shut door=open")
    for order in ((chance, purpose), (purpose, chance)):
        cover = Cover(compiled)
        gaps = {id(needs): cover.meets(needs).gap for needs in order}
        assert gaps[id(chance)] is None and gaps[id(purpose)] is not None


TAP = condition("tap", "open shut", alone="shut=open")
LAST = condition("tap", "open shut")
PIN = condition("pin", "in out")
UNDOING = [
    act("shut", "shut: tap=shut pin=out", may="tap=open|shut pin=in|out"),
    act("pin", "in: pin=in tap=open", may="pin=in|out tap=open|shut"),
]


def test_two_acts_that_undo_each_other_are_a_trap() -> None:
    """From what is known nothing of, and with the two named."""
    needs = sets("tap=shut pin=in")
    assert covered([TAP, PIN], UNDOING, needs).meets(needs).gap is not None
    found = trap(model([TAP, PIN], UNDOING), needs)
    assert isinstance(found, Trap)
    assert set(found.round) == {"shut", "pin"} and found.known == {} and found.barred is None


def test_acts_that_need_each_other_first_are_a_trap() -> None:
    """Nothing can be asked: each needs what the other brings about."""
    circle = [
        act("shut", "shut: tap=shut", needs="pin=in", may="tap=open|shut"),
        act("pin", "in: pin=in", needs="tap=shut", may="pin=in|out"),
    ]
    needs = sets("tap=shut")
    assert covered([TAP, PIN], circle, needs).meets(needs).gap is not None
    found = trap(model([TAP, PIN], circle), needs)
    assert isinstance(found, Trap) and found.barred is not None and found.round == ()


def test_what_is_known_to_be_bad_ends_in_words() -> None:
    """A part that only a look establishes: no gap, and the condition is named among those that bar."""
    needs = sets("part=sound tried=yes")
    conditions, acts = list(small().conditions.values()), list(small().acts.values())
    outcome = covered(conditions, acts, needs).meets(needs)
    assert outcome.gap is None and {"part", "gas"} <= outcome.bars
    assert isinstance(trap(small(), needs), int)


@pytest.mark.parametrize("most", [1, 5])
def test_looking_for_a_trap_is_given_up_beyond_a_bound(most: int) -> None:
    """How many beliefs were looked at is said."""
    assert trap(small(), sets("part=sound tried=yes"), most) == most
