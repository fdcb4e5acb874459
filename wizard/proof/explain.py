"""What each rule of ``flow check`` proves, why it is asked, and a small example: of a proof or of the form alike."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.errors import UsageError
from wizard.flow.problems import nearest
from wizard.flow.rules.explain import EXPLAIN
from wizard.proof.examples import EXAMPLES


@dataclass(frozen=True, slots=True)
class Explained:
    """A rule: ``proves`` and ``why`` in words, ``example`` a few lines of a flow that break it and mend it."""

    rule: str
    proves: str
    why: str
    example: str


PROVES: dict[str, tuple[str, str]] = {
    "passed": (
        "Every way through a gate to its end is by answers that are good: the usual one, one that the flow marks "
        "good, or a reading that passes. None is unable, failed or a retry used up.",
        "A gate is what stands between hands and mains. Whoever gets past it on a bad answer works on a live machine.",
    ),
    "state": (
        "No path over steps, safety states and interruptions (restart, break, lapse, undo, leaving, correcting, stop) "
        "comes to an answer whose safety state isn't so. The search is exhaustive and goes through the engine itself.",
        "Nobody may be led to a step that is safe only in another state of the machine.",
    ),
    "way": (
        "From every stance, on every machine that it is for, gates lead to each inspection and each repair, and each "
        "gate that is begun can be passed.",
        "Work that nothing leads to is never done, and the job can't be closed.",
    ),
    "spin": (
        "No path comes to a spin, or to power on the machine, with a panel off: the debt forbids it, or a gate has it "
        "put back.",
        "What is open in a spin throws, cuts and catches; what is open with the plug in can be touched live.",
    ),
    "owed": (
        "Whatever can be owed on a machine can be paid there, with every other debt owed and every bar standing.",
        "A visit with a debt can't be closed, so a debt that can't be paid holds the job for ever.",
    ),
    "close": (
        "Leaving and handing over can be gone through to their ends on every machine, whatever bars stand then.",
        "Without an end there is no report and no summary for the customer.",
    ),
    "barred": (
        "Each step that bars or debts may forbid can be answered when nothing is barred or owed before its inspection.",
        "A step forbidden by what its own inspection opens is never asked.",
    ),
    "lift": (
        "Each bar is lifted by something that it doesn't forbid itself.",
        "Else what it forbids is forbidden for good, and the machine can only be left out of use.",
    ),
    "limit": (
        "On every machine that a judged step is for, exactly one of its limits fits.",
        "With none there is no verdict, with two the first in the file would be taken in silence.",
    ),
    "raise": (
        "On each kind of machine that can have a fault, some answer or reading speaks for it.",
        "A fault that nothing raises is never found.",
    ),
    "rule-out": (
        "On each kind of machine that can have a fault, some answer or reading speaks against it.",
        "A fault that nothing rules out stays suspected whatever is found.",
    ),
    "alike": (
        "No two faults of a kind have the same weights on all that can be found there.",
        "Nothing that is asked tells such a pair apart: their order in the ranking is that of their shares.",
    ),
    "case": ("Each fault has a case that confirms it.", "What no case goes through is not known to work."),
    "played": (
        "Each case, played through the engine, ends as it says.",
        "A case is how the author says what the flow is meant to do.",
    ),
}
"""Rule of a proof -> what it proves, and why it is asked."""


def rules() -> tuple[str, ...]:
    """Every rule there is, those of the form first."""
    return (*EXPLAIN, *PROVES)


def explain(rule: str) -> Explained:
    """What a rule is; UsageError with the nearest name if there is no such rule."""
    if rule in PROVES:
        return Explained(rule, *PROVES[rule], EXAMPLES[rule])
    if rule in EXPLAIN:
        return Explained(rule, EXPLAIN[rule], "", EXAMPLES.get(rule, ""))
    raise UsageError(f'"{rule}" is not a rule. There are {", ".join(rules())}.{nearest(rule, rules())}')
