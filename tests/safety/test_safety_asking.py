"""What is asked next: the library's order, looks before acts, and what bars."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.safety.lab import lab, machines
from tests.safety.small import GAS, LOOK, PART, SMELL, SUPPLY, TRIED, TRY, act, condition, model, sets, small
from wizard.safety import Ask, Barred, BarredKind, Model
from wizard.safety.asking import LONGEST
from wizard.safety.tables import compile_needs

NOTHING = small().top()


def asked(model: Model, belief: str, needs: str) -> str:
    found = model.next_step(model.top() | sets(belief), sets(needs))
    if isinstance(found, Barred):
        return f"{found.kind}: {found.condition}"
    return found.act if found else ""


def test_the_first_missing_condition_first_and_what_its_step_needs_before_it() -> None:
    """The part can be looked at once it was tried, that once the plug is out, that once no gas is smelt."""
    assert small().next_step(NOTHING, sets("part=sound")) == Ask(
        "smell", "gas", frozenset({"none"}), ("plug", "look")
    )
    assert small().next_step(sets("gas=none"), sets("part=sound")) == Ask(
        "plug", "supply", frozenset({"held", "locked"}), ("look",)
    )
    assert small().next_step(sets("gas=none supply=held"), sets("part=sound")) == Ask(
        "try", "tried", frozenset({"yes"}), ("look",)
    )
    assert small().next_step(sets("gas=none supply=held tried=yes"), sets("part=sound")) == Ask(
        "look", "part", frozenset({"sound"})
    )
    assert small().next_step(sets("part=sound"), sets("part=sound")) is None


def test_nothing_that_is_known_is_asked() -> None:
    assert asked(small(), "gas=none supply=locked", "supply=held|locked tried=yes") == "try"


def test_an_answer_that_gives_more_than_is_needed_establishes_nothing() -> None:
    """The plug in the bag is no lock."""
    assert asked(small(), "gas=none", "supply=locked") == "stuck: supply"


def test_a_look_is_asked_while_it_may_be_so_and_then_the_act() -> None:
    """Look before acting; once it is known to be off, it is put on."""
    front = condition("front", "on off")
    see = act("see", "on: front=on", "off: front=off")
    put = act("put-on", "on: front=on", may="front=on|off")
    both = model([front], [see, put])
    assert asked(both, "", "front=on") == "see"
    assert asked(both, "front=off", "front=on") == "put-on"
    assert asked(model([front], [put, see]), "", "front=on") == "put-on"
    assert asked(model([front], [see]), "front=off", "front=on") == "known-bad: front"


def test_what_bars_is_said_before_anything_is_asked() -> None:
    """A part known not to be sound, or a latch: nobody pulls a plug for work that can't be done."""
    assert asked(small(), "part=unsound", "supply=held part=sound") == "known-bad: part"
    assert asked(small(), "gas=stopped", "supply=held|locked part=sound") == "latch: gas"
    assert small().next_step(sets("gas=stopped"), sets("tried=yes")) == Barred(
        BarredKind.LATCH, "gas", frozenset({"stopped"}), frozenset({"none"}), ("try",)
    )


def test_a_latch_that_nothing_needs_bars_nothing() -> None:
    assert asked(small(), "gas=stopped", "gas=none|suspect|stopped") == ""


def test_what_nothing_establishes_is_stuck() -> None:
    assert asked(model([GAS, SUPPLY], [SMELL]), "gas=none", "supply=held") == "stuck: supply"


def test_work_is_never_asked_on_its_own() -> None:
    mine = replace(LOOK, establishes=False)
    assert asked(model([PART], [mine]), "", "part=sound") == "stuck: part"


def test_a_circle_is_stuck() -> None:
    """One panel comes off once the other is on, and the other way round."""
    left, right = condition("left", "on off"), condition("right", "on off")
    acts = [
        act("left-on", "on: left=on", needs="right=on", may="left=on|off"),
        act("right-on", "on: right=on", needs="left=on", may="right=on|off"),
    ]
    assert asked(model([left, right], acts), "", "left=on") == "stuck: left"
    assert model([left, right], acts).chain({}, sets("left=on")) == Barred(
        BarredKind.STUCK, "left", frozenset({"on", "off"}), frozenset({"on"}), ("right-on", "left-on")
    )


def test_a_chain_is_all_that_usual_answers_lead_through() -> None:
    assert small().chain(NOTHING, sets("part=sound")) == ("smell", "plug", "try", "look")
    assert small().chain(sets("gas=none supply=held tried=yes"), sets("part=sound")) == ("look",)
    assert small().chain(sets("part=sound"), sets("part=sound")) == ()


def test_a_chain_whose_step_is_asked_for_ever_is_stuck() -> None:
    """What is looked at falls at once, since the look doesn't need what it rests on."""
    bare = replace(TRY, needs=sets("gas=none"), answers=(replace(TRY.answers[0], so=sets("tried=yes")),))
    found = model([GAS, SUPPLY, TRIED], [SMELL, bare]).chain({}, sets("tried=yes"))
    assert isinstance(found, Barred)
    assert (found.kind, found.condition) == (BarredKind.STUCK, "tried")


def test_a_chain_goes_by_what_is_known_where_the_usual_answer_would_contradict_it() -> None:
    """One look at two parts, one of which is known to be unsound: 'both sound' isn't foreseen."""
    other = condition("other", "sound unsound")
    look = act("look", "both: part=sound other=sound", "one: other=unsound part=sound")
    both = model([PART, other], [look])
    assert both.chain(sets("other=unsound"), sets("part=sound")) == ("look",)


@pytest.mark.parametrize("machine", machines())
def test_all_that_the_library_needs_can_be_asked_for(machine: Model) -> None:
    """From nothing known, usual answers lead to the needs of every reach and every act, and ask little twice."""
    for needs in (
        *(reach.needs for reach in machine.reaches.values()),
        *(a.needs for a in machine.acts.values()),
    ):
        chain = machine.chain(machine.top(), needs)
        assert isinstance(chain, tuple)
        assert len(chain) - len(set(chain)) <= 2


def test_energy_is_asked_in_the_order_of_the_standard() -> None:
    """EN 50110-1, 6.2: disconnect completely, secure against reconnection, verify that it is dead; from memory.

    In the bag is disconnected and secured in one. Water and charge come before the terminals.
    """
    chain = lab().model().chain({}, {r.id: r for r in lab().reaches}["terminals"].needs)
    assert chain == tuple(
        f"library.{name}"
        for name in (
            *("before", "plug", "people", "try", "still", "cool", "relieve", "wedge-in"),
            *("tester", "open-service", "bus", "volts", "again"),
        )
    )


def test_the_plug_is_out_before_hands_go_anywhere() -> None:
    """In every chain of every machine the first step that reaches beyond looking comes after the plug."""
    for machine in machines():
        for target in machine.acts.values():
            chain = machine.chain(machine.top(), target.needs)
            hands = [n for n, name in enumerate(chain) if "verified" in machine.acts[str(name)].needs]
            assert not hands or "library.plug" in chain[: hands[0]]


def test_an_act_that_says_nothing_of_a_condition_does_not_establish_it() -> None:
    """Whatever the order of the acts, and of the conditions and their values."""
    one, other = condition("one", "on off"), condition("other", "on off")
    acts = [act("see-other", "on: other=on", "off: other=off"), act("see-one", "on: one=on", "off: one=off")]
    for conditions in ([one, other], [other, one]):
        for order in (acts, acts[::-1]):
            machine = model(conditions, order)
            assert asked(machine, "", "one=on") == "see-one"
            assert asked(machine, "", "other=on") == "see-other"


def test_a_plan_says_what_follows_of_each_value_that_is_not_needed_and_of_no_other() -> None:
    machine = small()
    needs = compile_needs(machine.tables.encoding, sets("gas=none supply=held|locked part=sound|unsound"))
    names = {bit: f"{f.id}={v}" for f in machine.tables.encoding.fields for v, bit in f.values.items()}
    firsts = machine.asker.plan(needs).firsts
    assert {names[bit] for bit in firsts} == {"gas=suspect", "gas=stopped", "supply=live"}


@pytest.mark.parametrize(("many", "ends"), [(LONGEST, True), (LONGEST + 1, False)])
def test_a_chain_longer_than_the_longest_is_taken_for_endless(many: int, ends: bool) -> None:
    """A look a condition, four hundred of them; thirty is the longest way known."""
    conditions = [condition(f"c{n}", "on off") for n in range(many)]
    looks = [act(f"see{n}", f"on: c{n}=on", f"off: c{n}=off") for n in range(many)]
    found = model(conditions, looks).chain({}, {c.id: frozenset({"on"}) for c in conditions})
    if ends:
        assert found == tuple(look.id for look in looks) and many == 400
    else:
        assert isinstance(found, Barred) and (found.kind, found.condition) == (BarredKind.STUCK, "c400")


WORN = condition("other", "sound worn unsound")


def test_a_chain_takes_of_the_usual_answer_what_fits_where_every_answer_contradicts() -> None:
    """The other part is known to be unsound, which no answer says; that this one is sound can be said all the same."""
    look = act("look", "both: part=sound other=sound", "none: part=unsound other=worn")
    machine = model([PART, WORN], [look])
    assert machine.chain(sets("other=unsound"), sets("part=sound")) == ("look",)
    assert machine.chain(sets("other=unsound"), sets("part=sound other=worn|unsound")) == ("look",)


def test_a_chain_never_goes_by_an_answer_that_stops_work() -> None:
    """Not where it fits best, and not where there is no other."""
    look = act(
        "look",
        "both: part=sound other=sound",
        "stop!: part=unsound other=unsound",
        "one: part=sound other=unsound",
    )
    assert model([PART, WORN], [look]).chain(sets("other=unsound"), sets("part=sound")) == ("look",)
    only = act("look", "both!: part=sound")
    assert model([PART], [only]).chain({}, sets("part=sound")) == Barred(
        BarredKind.STUCK, "part", frozenset({"sound", "unsound"}), frozenset({"sound"}), ("look",)
    )
