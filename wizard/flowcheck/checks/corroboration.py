"""What kills if it is wrong never rests on one answer: a slip of the finger is one answer."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import ActRef
from wizard.engine.safety.flow_rules import Rules
from wizard.flowcheck.model.counterexample import Counterexample, Places
from wizard.flowcheck.model.machine_variants import machines, say, tell
from wizard.safety import Act, Condition, Model, fits
from wizard.safety.scope import with_bases
from wizard.safety.shortcuts import shortcut

TWO_STEPS = {"verified": "yes", "verified2": "yes", "dead": "proved"}
"""Conditions of the library that say that no voltage is where the hands go, with the value that says so.

29 CFR 1910.333(b)(2)(iv): the circuit is tested to be dead, by the controls and by equipment that is itself tested
before and after (published); so nothing here is believed on one step.
"""


def evidence(rules: Rules, places: Places) -> Iterator[Counterexample]:
    """Yield each of these conditions that one step brings about, once what it rests on may have changed."""
    for condition, value in TWO_STEPS.items():
        known = rules.flow.conditions.get(condition)
        if known is None or value not in known.values:
            continue
        for facts, model in _machines(rules, condition):
            found = shortcut(model, condition, frozenset((value,)))
            if found is not None:
                on = f" on {say(facts)}" if facts else ""
                message = (
                    f'{condition} "{value}" rests on step "{found[0]}" alone{on}: after a break that one answer would '
                    f"send hands in. Write while = {{ ... }} on it, or take what that step says of it out"
                )
                yield places.show(
                    places.entry(ThingKind.CONDITION, condition),
                    message,
                    "two-steps",
                    tell(facts),
                    tuple(map(str, found)),
                )
                break


def _machines(rules: Rules, condition: str) -> Iterator[tuple[dict[str, str], Model]]:
    """Yield each machine that differs in this condition and what it rests on, and in the steps that touch them.

    A step that was tried on an earlier machine with the same conditions is left out: alone, it does there what it does
    here.
    """
    conditions = rules.flow.conditions
    names = with_bases((condition,), conditions)
    here = [c for c in conditions.values() if c.id in names]
    acts = [act for act in rules.acts if names & _touched(act)]
    both: list[Condition | Act] = [*here, *acts]
    tried: dict[tuple[str, ...], set[ActRef]] = {}
    for facts in machines(rules.flow, {f for each in both for f in each.applies}):
        if not fits(conditions[condition].applies, facts):
            continue
        before = tried.setdefault(tuple(c.id for c in here if fits(c.applies, facts)), set())
        untried = [act for act in acts if act.id not in before and fits(act.applies, facts)]
        if untried:
            before.update(act.id for act in untried)
            yield facts, Model.of(here, (), untried, facts)


def _touched(act: Act) -> set[str]:
    """The conditions that an act may change or its answers speak of."""
    return {*act.may, *(c for effect in act.answers for c in effect.so)}
