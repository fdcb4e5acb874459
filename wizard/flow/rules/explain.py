"""What each rule is for, in a sentence or two: why it is asked, and how it is kept."""

from __future__ import annotations

from wizard.errors import UsageError
from wizard.flow.problems import nearest

EXPLAIN = {
    "toml": "A file must be TOML 1.0: key = value, texts in quotes, tables in [ ], entries of a list in [[ ]].",
    "encoding": "Every file is UTF-8, so that it reads the same on every machine.",
    "file": "A flow has flow.toml, limits.toml, findings.toml, faults.toml and the folders inspections, drawings "
    "and cases. A file anywhere else is not read, which is rarely what its author meant.",
    "key": "An unknown key would be ignored in silence: it is nearly always a misspelt one.",
    "missing": "Without this key the screen, the judging or the ranking would have nothing to go by.",
    "type": "Texts stand in quotes, numbers don't. Nothing is turned from one into the other.",
    "value": "The value is outside what makes sense here.",
    "id": "Ids are small letters, digits and hyphens, each given once among its kind: sessions name things by them.",
    "drawing": "A drawing has four parts: drawing, plain, regions, names. All three pictures have one shape.",
    "reference": "Whatever is named must be declared in its file.",
    "kind": "Each kind of step has its own keys. One that belongs to another kind would do nothing.",
    "usual": "The usual answer is what a healthy machine gives. A case takes it for every step it leaves out.",
    "many": "Where several answers may be ticked there is one way on, since they are given together.",
    "items": "A reading has one number an item, way and repeat, so the number of items must be known on each machine.",
    "answer": "A case can only give answers that its step can take.",
    "reach": "A step that nothing leads to is never asked.",
    "end": "Whoever follows the answers must come to an end.",
    "loop": "A loop needs a bound: most says how often next is taken, then where it leads after that.",
    "gate": "A gate establishes a safety state. It is open where the machine comes from, all of its steps are "
    "passed, it asks, it judges what it measures, and what isn't good stops work or goes back. Power comes only in "
    "proving or where an inspection is energised; a panel comes off only while isolated or proved dead; a tool that "
    "touches terminals says which state it needs; who puts back what keeps the machine isolated ends that state.",
    "unable": "Anybody may be unable to do a step. In a gate that stops work, since the state isn't established.",
    "bands": "Bands are given by their upper edges in rising order, the last without one, so no value falls between. "
    "In a gate none passes by a minus sign alone.",
    "unit": "What is read, its tool, its limit and its calculator must measure the same thing.",
    "range": "The range says what readings are believed: it isn't empty and holds the usual value.",
    "calculator": "A compute step names a calculator of the program and gives it every input, setting and choice.",
    "aid": "An aid opens on one key while a step is measured, so it must fit what the step reads.",
    "machine": "What depends on machine facts must be decided on every machine: exactly one limit fits each.",
    "caution": "What spins or is live carries its warning before the action (ANSI Z535.6, ISO 3864).",
    "screen": "Every text must fit its screen at 80 columns. What doesn't fit isn't read.",
    "share": "The shares of faults are percent of complaints, for each kind of machine about 100 in all.",
    "debt": "A debt that nothing pays would keep every job open.",
    "recheck": "A repair that nothing measures is hoped for, not proved: what showed the fault is measured again.",
    "unused": "What nothing uses is a leftover, or a name that is misspelt elsewhere.",
}
"""Rule -> why it is asked and how it is kept."""


def explain(rule: str) -> str:
    """Return what a rule is for; UsageError if there is no such rule."""
    if rule not in EXPLAIN:
        raise UsageError(f'"{rule}" is not a rule. There are {", ".join(EXPLAIN)}.{nearest(rule, EXPLAIN)}')
    return EXPLAIN[rule]
