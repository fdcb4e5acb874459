"""What is wrong with a set of conditions, reaches and acts is said, all of it at once."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.safety.lab import lab
from tests.safety.small import GAS, LOOK, PART, PLUG, SMELL, SUPPLY, TRIED, TRY, act, condition, sets
from wizard.safety import Act, Condition, Reach
from wizard.safety.checks import problems
from wizard.safety.kinds import ModelProblemKind

CONDITIONS = (GAS, SUPPLY, TRIED, PART)
ACTS = (SMELL, PLUG, TRY, LOOK)


def found(*owners: Condition | Reach | Act) -> list[str]:
    """The problems that these bring to a sound set, in which they take the place of what has their id."""
    by_id: dict[str, Condition | Reach | Act] = {o.id: o for o in (*CONDITIONS, *ACTS)}
    by_id |= {owner.id: owner for owner in owners}
    sorted_out = {
        kind: [o for o in by_id.values() if isinstance(o, kind)] for kind in (Condition, Reach, Act)
    }
    return [
        f"{p.kind} {p.owner.id}.{p.key}: {p.says}"
        for p in problems(sorted_out[Condition], sorted_out[Reach], sorted_out[Act])  # type: ignore[arg-type]
    ]


def test_the_library_of_the_tests_is_sound() -> None:
    assert problems(lab().conditions, lab().reaches, lab().acts) == ()
    assert found() == []


def test_an_id_is_given_once() -> None:
    twice = problems((GAS, GAS), (), (SMELL, SMELL))
    assert [(p.kind, p.owner.id) for p in twice] == [
        (ModelProblemKind.TWICE, n) for n in ("gas", "gas", "smell", "smell")
    ]


@pytest.mark.parametrize(
    ("owner", "says"),
    [
        (replace(SUPPLY, alone=sets("held=held|loose")), "unknown supply.alone: there is no value 'loose'"),
        (replace(GAS, latch=frozenset({"shut"})), "unknown gas.latch: there is no value 'shut'"),
        (replace(TRIED, rests_on=sets("plug=out")), "unknown tried.while: there is no condition 'plug'"),
        (
            replace(TRIED, rests_on=sets("supply=out")),
            "unknown tried.while: condition 'supply' has no value 'out'",
        ),
        (Reach("hands", "", sets("motion=still")), "unknown hands.needs: there is no condition 'motion'"),
        (Reach("hands", "", sets("part=good")), "unknown hands.needs: condition 'part' has no value 'good'"),
        (Reach("hands", "", sets("part=")), "empty hands.needs: no value of 'part' is named"),
        (act("x", may="motion=still"), "unknown x.may: there is no condition 'motion'"),
        (act("x", "yes: part=good"), "unknown x.so: condition 'part' has no value 'good'"),
        (act("x", needs="part="), "empty x.needs: no value of 'part' is named"),
        (replace(PART, latch=frozenset(PART.values)), "empty part.values: there is no value but latches"),
        (
            replace(SUPPLY, alone=sets("held=held|locked locked=live|locked")),
            "open supply.alone: 'held' may turn into 'live' too",
        ),
        (replace(SUPPLY, alone=sets("held=live")), "open supply.alone: 'held' may turn into 'held' too"),
        (
            replace(SUPPLY, rests_on=sets("tried=yes")),
            "circle supply.while: conditions rest on each other in a circle: supply, tried, supply",
        ),
        (
            condition("gas", "none stopped", alone="none=stopped", latch="stopped"),
            "latch gas.alone: 'none' turns into 'stopped' alone, "
            "and a latch comes by an answer and goes by its release",
        ),
        (Reach("hands", "", sets("gas=none|stopped")), "latch hands.needs: 'stopped' of 'gas' is a latch"),
        (act("x", needs="gas=stopped"), "latch x.needs: 'stopped' of 'gas' is a latch"),
        (act("x", may="gas=none|stopped"), "latch x.may: 'stopped' of 'gas' is a latch"),
        (
            act("x", "some: part=sound", "odd: gas=none|stopped"),
            "latch x.so: answer 'odd' leaves open whether the latch of 'gas' stands",
        ),
        (
            replace(PLUG, answers=tuple(replace(a, usual=True) for a in PLUG.answers)),
            "usual plug.answer: 'bagged', 'locked' can't all be the usual answer",
        ),
        (act("x", "halt!: part=sound"), "usual x.answer: the usual answer 'halt' stops work"),
        (act("x", "yes:", "yes:"), "twice x.answer: answer 'yes' is there 2 times"),
        (
            act("x", "yes: supply=live|held", may="supply=held|locked"),
            "outside x.so: answer 'yes' says 'live' of 'supply', which its 'may' doesn't name",
        ),
    ],
)
def test_what_is_wrong_is_said(owner: Condition | Reach | Act, says: str) -> None:
    assert says in found(owner)


def test_an_unusual_latch_alone_is_all_there_is_to_say() -> None:
    """A latch that an answer puts needs no place in 'may'."""
    assert found(act("x", "fine:", "gas: gas=stopped", may="part=sound|unsound")) == []
