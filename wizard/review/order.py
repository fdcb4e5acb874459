"""The parts list of a visit that ends with parts on order."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, tzinfo

from wizard.engine.state import Repair, State
from wizard.flow.model import Fault, Flow, fits
from wizard.review import parts, words
from wizard.review.sections import machine, remedy_words, repairs
from wizard.review.words import safe, sentence


def parts_list(flow: Flow, state: State, zone: tzinfo = UTC) -> str:
    """The parts to order for the repairs that wait for them, as Markdown; empty where none does."""
    waiting = repairs(state, "on-order")
    if not waiting:
        return ""
    lines = [f"# Parts to order: job {safe(state.session)}", ""]
    if visit := state.visit:
        ticket = f", ticket {safe(visit.ticket)}" if visit.ticket else ""
        who = safe(visit.technician or "-")
        lines.append(f"Visit {visit.number}, {words.day(visit.began, zone)}, {who}{ticket}")
    lines.extend(["", *machine(flow, state)[2:], *_not_noted(flow, state)])
    for repair in waiting:
        lines.extend(_repair(flow.faults.get(repair.fault), repair, state.facts))
    lines.extend(["", "Check every part number against the maker's list for this model."])
    return "\n".join(lines) + "\n"


def _not_noted(flow: Flow, state: State) -> list[str]:
    """What is read off the machine and nobody wrote down: 'Maker, model, serial number: not noted'."""
    names = [
        fact.ask.partition(",")[0].rstrip("?")
        for fact in flow.facts
        if not fact.values and fits(fact.applies, state.facts) and not state.facts.get(fact.id, "").strip()
    ]
    said = ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])
    return [f"- {safe(said)}: not noted"] if names else []


def _repair(fault: Fault | None, repair: Repair, facts: Mapping[str, str]) -> list[str]:
    found = [parts.read(code, fault, facts) for code in repair.parts]
    rows = [f"| {p.count} | {safe(p.says)} | {safe(p.id)} |" for p in found] or ["| - | none named | - |"]
    along = [f"- Along with it: {safe(sentence(c))}" for c in (fault.remedy.companions if fault else ())]
    note = [f"- Note: {safe(sentence(repair.reason))}"] if repair.reason else []
    head = ["", f"## {safe(remedy_words(fault, repair))}", "", "| Count | Part | Id |", "|---|---|---|"]
    return [*head, *rows, "", *along, *note]
