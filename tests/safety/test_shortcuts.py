"""How few steps a belief rests on."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.safety.lab import lab, machines
from tests.safety.small import GAS, PLUG, SMELL, SUPPLY, TRIED, TRY, act, condition, model, sets
from wizard.safety import Model
from wizard.safety.shortcuts import shortcut

YES = frozenset({"yes"})


@pytest.mark.parametrize("machine", machines())
def test_verified_and_dead_rest_on_two_steps_at_least(machine: Model) -> None:
    """No one answer makes a machine safe in the program's eyes; 'absence of voltage' takes five steps."""
    assert shortcut(machine, "verified", YES) is None
    assert shortcut(machine, "verified", YES, steps=3) == ("library.plug", "library.try")
    assert shortcut(machine, "dead", frozenset({"proved"}), steps=4) is None
    if "verified2" in machine.conditions:
        assert shortcut(machine, "verified2", YES) is None


def test_a_plug_that_says_tried_too_is_a_shortcut() -> None:
    both = act("plug", "dead: supply=held tried=yes", needs="gas=none", may="supply=held|live tried=yes|no")
    assert shortcut(model([GAS, SUPPLY, TRIED], [SMELL, both, TRY]), "tried", YES) == ("plug",)


def test_a_try_that_settles_the_supply_by_itself_is_a_shortcut() -> None:
    """'It stays dark' is no word on where the plug is."""
    loose = replace(TRY, needs=sets("gas=none"), may=sets("tried=yes|no supply=held|live|locked"))
    assert shortcut(model([GAS, SUPPLY, TRIED], [SMELL, PLUG, loose]), "tried", YES) == ("try",)


def test_a_step_answered_twice_is_one_step() -> None:
    """First 'not yet, but the plug is out', then 'tried': the same step twice."""
    twice = act(
        "plug", "out: supply=held", "tried: tried=yes", needs="gas=none", may="supply=held|live tried=yes|no"
    )
    first = replace(
        twice, answers=(twice.answers[0], replace(twice.answers[1], so=sets("tried=yes supply=held")))
    )
    assert shortcut(model([GAS, SUPPLY, TRIED], [first]), "tried", YES) == ("plug",)


def test_what_rests_on_nothing_rests_on_one_step() -> None:
    """Where the plug is, is one answer; that is why it isn't evidence."""
    assert shortcut(lab().model(), "supply", frozenset({"held", "locked"})) == ("library.plug",)


def test_a_look_that_narrows_what_is_half_known_counts() -> None:
    """Two of three values are possible; one look leaves one."""
    seal = condition("seal", "on loose off", alone="on=loose loose=off")
    glance = act("glance", "on: seal=on|off", "off: seal=off")
    assert shortcut(model([seal], [glance]), "seal", frozenset({"on"})) == ("glance",)
