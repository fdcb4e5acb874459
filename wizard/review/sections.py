"""The parts of the customer's summary that tell of the job: machine, found, done, declined, on order."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.engine.state import Repair, State
from wizard.flow.model import Fault, Flow
from wizard.review import parts, words
from wizard.review.speaking import presumed
from wizard.review.standing import halted
from wizard.review.words import safe, sentence


def machine(flow: Flow, state: State) -> list[str]:
    """The machine facts in the customer's summary."""
    rows = [
        f"- {safe(fact.ask)} {safe(words.fact_words(flow, fact.id, state.facts[fact.id]))}"
        for fact in flow.facts
        if state.facts.get(fact.id)
    ]
    return ["## The machine", "", *rows] if rows else []


def found(flow: Flow, state: State) -> list[str]:
    """What was found, in the faults' plain words, or why work stopped."""
    lines = ["## What was found", ""]
    faults = [flow.faults[f] for f in state.decided or () if f in flow.faults]
    stop = halted(flow, state)
    if stop:
        lines.append(f"Work was stopped: {safe(sentence(stop.says))}")
        own = state.halt.words.strip() if state.halt else ""
        lines.extend([f"In our words: {safe(sentence(own))}"] if own and own != stop.says else [])
    if faults:
        lines.extend(f"- {safe(sentence(f.plain or f.says))}{_presumed(flow, state, f)}" for f in faults)
    elif state.decided is not None:
        lines.append("We looked and measured, and could not confirm any fault.")
    elif not stop:
        lines.append("We have not decided yet.")
    return lines


def _presumed(flow: Flow, state: State, fault: Fault) -> str:
    """What has to be said beside a fault that was decided on without the check that confirms it."""
    return " (Presumed: not confirmed by a check.)" if presumed(flow, state, fault) else ""


def done(flow: Flow, state: State) -> list[str]:
    """Repairs made, and what was done to leave a stopped job safe."""
    lines = []
    for repair in repairs(state, "fitted"):
        fault = flow.faults.get(repair.fault)
        lines.append(
            f"- {safe(sentence(remedy_words(fault, repair)))}{_parts_words(fault, repair, state.facts)}"
        )
    stop = halted(flow, state)
    if stop and state.halt:
        for number, act in enumerate(stop.make_safe):
            if number in state.halt.done:
                why = state.halt.done[number]
                lines.append(f"- {safe(act)}" + (f" Not done: {safe(sentence(why))}" if why else " Done."))
    return ["## What was done", "", *lines] if lines else ["## What was done", "", "Nothing was repaired."]


def repairs(state: State, outcome: str) -> list[Repair]:
    """The repairs of faults still confirmed that ended in this way."""
    return [r for r in state.repairs if r.outcome == outcome and r.fault in (state.decided or ())]


def remedy_words(fault: Fault | None, repair: Repair) -> str:
    """What mends it; the fault's id where the flow no longer has it."""
    return fault.remedy.says if fault else repair.fault


def _parts_words(fault: Fault | None, repair: Repair, facts: Mapping[str, str]) -> str:
    listed = ", ".join(safe(parts.read(code, fault, facts).words) for code in repair.parts)
    return f" Parts: {listed}." if listed else ""


def declined(flow: Flow, state: State) -> list[str]:
    """What the customer decided against, the risk, and the words it was told in."""
    lines = []
    for repair in repairs(state, "declined"):
        fault = flow.faults.get(repair.fault)
        lines.append(
            f"- {safe(sentence(remedy_words(fault, repair)))}{_parts_words(fault, repair, state.facts)}"
        )
        risk = fault.remedy.risk if fault else ""
        lines.extend([f"  The risk: {safe(sentence(risk))}"] if risk else [])
        lines.append(f"  What we told you: {safe(sentence(repair.reason))}")
    return ["## What you decided against", "", *lines] if lines else []


def ordered(flow: Flow, state: State) -> list[str]:
    """What waits for parts."""
    lines = []
    for repair in repairs(state, "on-order"):
        fault = flow.faults.get(repair.fault)
        lines.append(
            f"- {safe(sentence(remedy_words(fault, repair)))}{_parts_words(fault, repair, state.facts)}"
        )
    return ["## Still to come, parts on order", "", *lines] if lines else []
