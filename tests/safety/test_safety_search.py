"""The search of all beliefs: the library of the tests gets nobody stuck, and flawed ones are found with a way
there.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.safety.belief_search import DeadEnd, SearchResult, search
from tests.safety.lab import kinds_of_machine, lab, machines
from tests.safety.small import GAS, LOOK, PART, PLUG, SMELL, SUPPLY, TRIED, TRY, act, condition, model
from wizard.safety import Act, BarredKind, Belief, Condition, Model, MoveKind

MACHINES = tuple(zip(kinds_of_machine(), machines(), strict=True))


def searched(conditions: list[Condition], acts: list[Act]) -> SearchResult:
    return search([({}, model(conditions, acts))])


def follow(made: Model, end: DeadEnd) -> Belief:
    """The belief at the end of a witness, by the model's own moves."""
    belief: Belief = made.settle(end.known)
    for move in end.moves:
        match move.kind:
            case MoveKind.AWAY:
                belief = made.away(belief)
            case MoveKind.ANEW:
                belief = made.anew(belief)
            case MoveKind.SHOW:
                belief = made.show(belief, move.act)
            case MoveKind.FORGET:
                belief = made.forget(belief, made.touches(move.act))
            case MoveKind.ANSWER:
                (said,) = [a for a in made.acts[move.act].answers if a.id == move.answer]
                belief, _ = made.answer(made.show(belief, move.act), move.act, said.so)
    return belief


def test_nobody_gets_stuck_in_the_library() -> None:
    """From every belief that is reached in six machines all needs can be met, or it is said why not.

    What bars from the first is a part that was seen to be unsound: that is for a repair.
    """
    found = search(MACHINES)
    assert found.dead_ends == []
    assert found.bars == {
        (BarredKind.KNOWN_BAD, part)
        for part in ("part", "transit", "door", "look", "block", "object", "strike", "hub")
    }
    assert found.stops == set()
    assert found.given_up == []
    assert found.searches > 40
    assert found.beliefs > 40_000
    establishing = {a.id for a in lab().acts if a.establishes}
    assert establishing - found.asked == {"library.cut"}, (
        "the plug in the bag comes before the plug pulled and left"
    )


@pytest.mark.nightly
def test_nobody_gets_stuck_however_little_or_much_is_known_at_first() -> None:
    """The same from each single value with all that can happen, and beyond answers that stop work."""
    found = search(MACHINES, deep=True)
    assert (found.dead_ends, found.given_up) == ([], [])
    assert found.beliefs > 400_000


def test_a_search_that_grows_too_large_is_given_up_and_says_so() -> None:
    """Nothing is known of it then: it is neither good nor a dead end."""
    found = search(MACHINES[:1], most=200)
    assert {name for _, name in found.given_up} >= {"ready", "terminals"}
    assert found.dead_ends == []


def test_what_is_stuck_is_found_even_where_a_search_is_given_up() -> None:
    acts = [a for a in lab().acts if a.id != "library.relieve"]
    made = Model.of(lab().conditions, (), acts, MACHINES[0][0])
    found = search([(MACHINES[0][0], made)], most=500)
    both = {name for _, name in found.given_up} & {e.needs for e in found.dead_ends}
    assert "work.spin" in both
    assert {e.barred.condition for e in found.dead_ends if e.barred} == {"taps"}


def test_what_is_only_needed_elsewhere_is_searched_once() -> None:
    """A machine of another kind adds but what is its own."""
    one = search(MACHINES[:1], most=50)
    assert search([*MACHINES[:1], *MACHINES[:1]], most=50).searches == one.searches
    two = search(MACHINES[:2], most=50)
    assert one.searches < two.searches < 2 * one.searches


def test_a_need_that_nothing_establishes_is_found() -> None:
    end = searched([GAS, SUPPLY, TRIED], [SMELL, PLUG, act("work", needs="tried=yes")]).dead_ends[0]
    assert end.barred is not None
    assert (end.needs, end.barred.kind, end.barred.condition, end.moves) == (
        "work",
        BarredKind.STUCK,
        "tried",
        (),
    )


def test_a_look_that_comes_to_nothing_is_found() -> None:
    """It doesn't need what it rests on, so what it says falls at once, and it is asked for ever."""
    bare = act("try", "dark: tried=yes", needs="gas=none", may="tried=yes|no")
    found = searched([GAS, SUPPLY, TRIED], [SMELL, PLUG, bare, act("work", needs="tried=yes")])
    assert {(end.needs, end.barred) for end in found.dead_ends} == {("work", None)}


def test_a_circle_that_shows_only_once_something_is_known_is_found() -> None:
    """While the panel may be on, a look is enough; once it is known to be off, putting it on needs the part sound,
    and the part can be seen only with the panel on.
    """
    panel = condition("panel", "on off")
    acts = [
        act("see", "on: panel=on", "off: panel=off"),
        act("put-on", "on: panel=on", needs="part=sound", may="panel=on|off"),
        act("look", "sound: part=sound", "unsound: part=unsound", needs="panel=on"),
    ]
    made = model([panel, PART], acts)
    ends = search([({}, made)]).dead_ends
    assert {end.needs for end in ends} == {"put-on", "look"}
    for end in ends:
        belief = follow(made, end)
        assert "see" in {move.act for move in end.moves} or end.known
        assert end.belief.items() <= belief.items()
        assert end.barred is not None
        assert end.barred.kind is BarredKind.STUCK
        assert made.next_step(belief, made.acts[end.needs].needs) == end.barred


def test_a_step_that_undoes_what_another_needs_for_ever_is_found() -> None:
    """Each of two steps spoils what the other one brought about."""
    left, right = condition("left", "on off"), condition("right", "on off")
    acts = [
        act("left-on", "on: left=on right=off", may="left=on|off right=on|off"),
        act("right-on", "on: right=on left=off", may="left=on|off right=on|off"),
        act("work", needs="left=on right=on", establishes=False),
    ]
    made = model([left, right], acts)
    (end,) = [end for end in search([({}, made)]).dead_ends if end.needs == "work"]
    assert end.barred is None
    assert end.belief.items() <= follow(made, end).items()


def test_a_look_at_two_things_one_of_which_is_known_to_be_bad_is_found() -> None:
    """'Both are sound' can't be said any more, and which of them isn't is no answer: the look is asked for ever."""
    other = condition("other", "sound unsound")
    acts = [
        act("look", "both: part=sound other=sound", "other: other=unsound"),
        act("work", needs="part=sound", establishes=False),
    ]
    found = searched([PART, other], acts)
    assert [(end.needs, end.barred) for end in found.dead_ends] == [("work", None)]
    whole = [replace(acts[0], answers=(*acts[0].answers, act("x", "part: part=unsound").answers[0])), acts[1]]
    assert searched([PART, other], whole).dead_ends == []


def test_a_step_that_can_only_stop_the_work_is_said() -> None:
    """The other part is known to be unsound: 'both' can't be said, and the other answer stops. That is words
    enough.
    """
    other = condition("other", "sound unsound")
    acts = [
        act("glance", "sound: other=sound", "bad: other=unsound"),
        act("look", "both: part=sound other=sound", "halt!: part=unsound"),
        act("work", needs="part=sound", establishes=False),
    ]
    found = searched([PART, other], acts)
    assert found.dead_ends == []
    assert found.stops == {"look"}


def test_what_a_latch_bars_is_no_dead_end() -> None:
    made = model([GAS, SUPPLY, TRIED, PART], [SMELL, PLUG, TRY, LOOK])
    found = search([({}, made)], deep=True)
    assert found.dead_ends == []
    assert (BarredKind.LATCH, "gas") in found.bars


def test_an_act_that_is_never_asked_is_known() -> None:
    """An earlier one establishes the same."""
    again = act("plug-again", "bagged: supply=held", needs="gas=none", may="supply=held|live")
    found = searched([GAS, SUPPLY], [SMELL, PLUG, again, act("work", needs="supply=held|locked")])
    assert found.asked == {"smell", "plug"}
