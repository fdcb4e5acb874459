"""What each rule of ``flow check`` proves, why it is asked, and a small example: of a proof or of the form alike."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.errors import UsageError
from wizard.flow.problems import nearest
from wizard.flowcheck.rule_examples import EXAMPLES
from wizard.flowcheck.rule_explanations import EXPLAIN


@dataclass(frozen=True, slots=True)
class Explained:
    """A rule: ``proves`` and ``why`` in words, ``example`` a few lines of a flow that break it and fix it."""

    rule: str
    proves: str
    why: str
    example: str


PROVES: dict[str, tuple[str, str]] = {
    "way": (
        "Whatever is believed of a machine, what a step, a remedy or a row of leaving needs can be met by answers, "
        "work stops, or it is said in words why not. Proved for all beliefs of all machines at once.",
        "Two steps that undo each other, or a need that nothing establishes there, hold the job for ever.",
    ),
    "two-steps": (
        "That the machine was tried, and that its terminals are dead, rests on two steps at least since anybody was "
        "away.",
        "A slip of the finger is one answer, and it must not send hands to mains.",
    ),
    "close": (
        "Nothing that an answer, a fact or a fault says keeps the machine from being left out of use.",
        "Who can't leave a machine as it must be left either stays or lies.",
    ),
    "barred": (
        "What a fault says of the machine doesn't bar its own remedy.",
        "The fault would be found and could never be repaired.",
    ),
    "lift": (
        "What a fault says of the machine, its remedy may change, where the proof of the repair needs it otherwise.",
        "Else the repair could never be proved, and the machine never be left in use.",
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
    "approved": (
        "What a flow claims and people's safety rests on is what a named person approved: nothing that it asks for is "
        "gone or wider, and nothing is let be that was not approved. The approval lies beside the flow's folder.",
        "The other rules prove what a flow says, not that it says enough: a need that is taken out leaves a sound "
        "flow, and somebody's hands at what may be live.",
    ),
    "weak": (
        "Each edit that weak.toml accepts as unnoticed is still one that the flow can have.",
        "A name that no edit has accepts nothing, or accepts what has moved elsewhere and should be looked at again.",
    ),
    "case": ("Each fault has a case that confirms it.", "What no case goes through is not known to work."),
    "stops": (
        "Each answer that stops work, given where a case is asked its step, stops it for that reason; whatever goes on "
        "is refused then, and the visit closes once the make-safe list is done.",
        "A stop that stops nothing, or can't be ended, is worse than none.",
    ),
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
