"""Conditions and acts in a line each, for tests of one rule at a time."""

from __future__ import annotations

from wizard.safety import Act, Condition, Effect, Model, closed


def sets(text: str) -> dict[str, frozenset[str]]:
    """'supply=held|locked gas=none' as needs."""
    return {
        name: frozenset(values.split("|") if values else ())
        for name, values in (part.split("=") for part in text.split())
    }


def condition(name: str, values: str, alone: str = "", rests_on: str = "", latch: str = "") -> Condition:
    """'supply', 'live held', what each turns into, what it rests on, its latches."""
    words = {value: value for value in values.split()}
    turns = closed(words, sets(alone))
    return Condition(name, name.title(), words, turns, sets(rests_on), frozenset(latch.split()))


def act(name: str, *answers: str, needs: str = "", may: str = "", establishes: bool = True) -> Act:
    """An act whose answers are 'id: what it says', the first the usual one; 'id!' stops work."""
    effects = []
    for n, text in enumerate(answers):
        head, _, so = text.partition(":")
        effects.append(Effect(head.rstrip("!"), sets(so), usual=n == 0, stop=head.endswith("!")))
    return Act(name, sets(needs), sets(may), tuple(effects), establishes)


def model(conditions: list[Condition], acts: list[Act]) -> Model:
    return Model.of(conditions, (), acts, {})


GAS = condition("gas", "none suspect stopped", alone="none=suspect", latch="stopped")
SUPPLY = condition("supply", "live held locked", alone="held=live live=held")
TRIED = condition("tried", "no yes", alone="yes=no", rests_on="supply=held|locked")
PART = condition("part", "sound unsound")

SMELL = act("smell", "clear: gas=none", "gas!: gas=stopped")
PLUG = act(
    "plug", "bagged: supply=held", "locked: supply=locked", needs="gas=none", may="supply=live|held|locked"
)
TRY = act(
    "try",
    "dark: tried=yes supply=held|locked",
    "lit: tried=no supply=live",
    needs="gas=none supply=held|locked",
    may="tried=no|yes",
)
LOOK = act("look", "sound: part=sound", "unsound: part=unsound", needs="supply=held|locked tried=yes")


def small() -> Model:
    """Gas, supply, tried, part; and the step that establishes each."""
    return model([GAS, SUPPLY, TRIED, PART], [SMELL, PLUG, TRY, LOOK])
