"""What each rule is for, in a sentence or two: why it is asked, and how it is kept."""

from __future__ import annotations

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
    "drawing": "A drawing has four parts: drawing, plain, regions, names. All three pictures have one shape. "
    "It may say which machines look so (applies): no step shows it that isn't for one of them.",
    "reference": "Whatever is named must be declared in its file.",
    "kind": "Each kind of step has its own keys. One that belongs to another kind would do nothing.",
    "usual": "The usual answer is what a healthy machine gives. A case takes it for every step it leaves out. "
    "A usual reading passes its limit with the uncertainty of its tool.",
    "many": "Where several answers may be ticked there is one way on, since they are given together.",
    "known": "A paper says of everything how it is known. Of a condition that is said where an answer tells of it.",
    "weight": "A finding that is found or ruled out has a weight from 0.5, which tells nothing, to 1. Below that it "
    "would speak the other way.",
    "items": "A reading has one number an item, way and repeat, so the number of items must be known on each machine.",
    "sight": "What nobody can know before the machine is open may be not known yet, and is asked again once it is in "
    "sight.",
    "answer": "A case can only give answers that its step can take.",
    "unreached": "A step that nothing leads to is never asked.",
    "end": "Whoever follows the answers must come to an end.",
    "left-out": "A proof that a word ends early would stand as passed by what came well before: so that word failed, "
    "or says that what was to be proved was left out.",
    "loop": "A loop needs a bound: most says how often next is taken, then where it leads after that.",
    "reach": "Every step says where the hands go, and so what must be true of the machine before it is shown. What "
    "only looks has no hands in its sentences; a tool, or a part that is lit, says how far its steps reach at least.",
    "strengthen": "A flow asks for more than the library does, never for less: new conditions, or fewer values.",
    "condition": "What is believed of the machine follows from what its steps may do and what their answers say. So an "
    "answer says only what its step may have done, or what it saw.",
    "latch": "Gas that was smelt, or an outlet that is scorched, outlives everything until somebody answers for it. It "
    "is set by what stops work.",
    "establish": "What a step needs is asked for first, one condition after the other, so each has a step that "
    "establishes it, on every machine; and a machine is left as somebody said it is.",
    "proof": "What a procedure measures is all that stands between hands and what could kill: it is judged, it can "
    "fail, and a voltage passes below 50 V only.",
    "unable": "Anybody may be unable to do a step: that leads on, or stops work.",
    "bands": "Bands are given by their upper edges in rising order, the last without one, so no value falls between.",
    "graded": "A reading speaks for a fault by how far it is off: what healthy and faulty machines give lies in order, "
    "on one side, in the bands that say so; and a healthy machine passes. Severities are whole, and worse is no less.",
    "unit": "What is read, its tool, its limit and its calculator must measure the same thing.",
    "takes": "Nothing takes the quickest hands longer than it usually takes.",
    "range": "The range says what readings are believed: it isn't empty and holds the usual value.",
    "calculator": "A compute step names a calculator of the program and gives it every input, setting and choice.",
    "recording": "A row says what a figure of a recording means: it can hold and can fail to. A recording fills steps "
    "that a person would answer by eye or ear, never one that hands rely on, and is one witness.",
    "aid": "An aid opens on one key while a step is measured, so it must fit what the step reads.",
    "machine": "What depends on machine facts must be decided on every machine: exactly one limit fits each.",
    "caution": "What can hurt carries its warning before the action (ANSI Z535.6, ISO 3864).",
    "screen": "Every text must fit its screen at 80 columns. What doesn't fit isn't read.",
    "consent": "The customer decides what is spent: no part goes in or is ordered before they were asked, and a dear "
    "repair of an old machine is talked over first.",
    "share": "The shares of faults are percent of complaints, for each kind of machine about 100 in all.",
    "recheck": "A repair that nothing measures is hoped for, not proved: what showed the fault is measured again.",
    "unused": "What nothing uses is a leftover, or a name that is misspelt elsewhere.",
}
"""Rule -> why it is asked and how it is kept."""
