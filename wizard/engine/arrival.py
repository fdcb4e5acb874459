"""Deciding what is asked at the door and noted along the way: facts, complaint, sheets, people, notes, photos."""

from __future__ import annotations

from collections.abc import Mapping

from wizard.engine import commands as cmd
from wizard.engine.draft import Draft, held, require_job, void
from wizard.engine.events import ComplaintTaken, FactTaken, NoteTaken, PersonNamed, PhotoTaken, SheetUsed
from wizard.engine.sheets import limit_table
from wizard.engine.stopping import stop
from wizard.errors import Refused
from wizard.flow.model import Flow, fits


def set_fact(d: Draft, command: cmd.SetFact) -> None:
    """Take a fact, or correct it: then what no longer applies is set aside, and with it every gate."""
    require_job(d, "work")
    fact = d.flow.fact(command.fact)
    if fact is None:
        raise Refused("unknown", f"This flow asks no fact {command.fact}.")
    value = command.value.strip()
    chosen = fact.value(value)
    if fact.values and chosen is None:
        raise Refused("unknown", f"{fact.ask} It has no answer {value}.")
    if fact.required and not value:
        raise Refused("reading", f"{fact.ask} An answer is needed.")
    if not fits(fact.applies, d.state.facts):
        raise Refused("unknown", f"This machine is not asked: {fact.ask}")
    _take(d, fact.id, value, command.reason.strip(), chosen.bar if chosen else ())
    _forget_unasked(d)
    if chosen and chosen.stop:
        stop(d, chosen.stop, chosen.says)


def _take(d: Draft, fact: str, value: str | None, reason: str, bar: tuple[str, ...]) -> None:
    """Emit the fact (None: it is forgotten) with what it sets aside. Refused when a correction gives no reason."""
    before = d.state.facts
    if before.get(fact) == value:
        return
    after = {k: v for k, v in before.items() if k != fact} | ({} if value is None else {fact: value})
    changed = changed_inspections(d.flow, before, after)
    left = tuple(r.id for r in d.state.runs if r.inspection in changed and r.how != "void")
    aside = tuple(x.seq for x in d.state.entries if x.run in left and not x.aside)
    if fact in before and not reason and (left or aside):
        raise Refused("reason", "Answers were given since. Say why the fact changes.")
    if fact in before and changed and held(d.state, d.flow):
        void(d, "correction")
    forgotten = value is None
    d.emit(
        FactTaken(
            fact=fact, value=value or "", forgotten=forgotten, reason=reason, bar=bar, aside=aside, left=left
        )
    )


def changed_inspections(flow: Flow, before: Mapping[str, str], after: Mapping[str, str]) -> frozenset[str]:
    """The inspections that apply otherwise, or have another number of items, under the new facts."""
    changed = set()
    for inspection in flow.inspections.values():
        if fits(inspection.applies, before) != fits(inspection.applies, after):
            changed.add(inspection.id)
        for step in inspection.steps:
            each = step.reading.each if step.reading else ""
            if each and before.get(each) != after.get(each):
                changed.add(inspection.id)
    return frozenset(changed)


def _forget_unasked(d: Draft) -> None:
    """A fact that this machine is no longer asked is forgotten."""
    for fact in d.flow.facts:
        if fact.id in d.state.facts and not fits(fact.applies, d.state.facts):
            _take(d, fact.id, None, "no longer asked of this machine", ())


def set_complaint(d: Draft, command: cmd.SetComplaint) -> None:
    """Take the complaint; it may be written again at any time."""
    require_job(d, "work")
    if not command.words.strip():
        raise Refused("reading", "Write what the customer says, in their own words.")
    d.emit(ComplaintTaken(words=command.words.strip()))


def use_sheet(d: Draft, command: cmd.UseSheet) -> None:
    """Use a service sheet's limits. Each must be one that the flow judges by, in the same dimension."""
    require_job(d, "work")
    if not command.source.strip():
        raise Refused("reason", "Say which sheet it is: its number, or where it was read.")
    guarded = {s.limit for i in d.flow.inspections.values() if i.gate for s in i.steps}
    for limit in command.limits:
        if limit.id in guarded:
            raise Refused("gate", f"{limit.says}: a gate is judged by it, so no sheet may change it.")
        if limit.id not in d.flow.limits:
            raise Refused("unknown", f"This flow judges nothing by a limit {limit.id}.")
    tables = tuple(limit_table(limit) for limit in command.limits)
    d.emit(SheetUsed(model=command.model.strip(), source=command.source.strip(), limits=tables))


def name_person(d: Draft, command: cmd.NamePerson) -> None:
    """Name the second person of this visit, who is somebody else than the technician."""
    require_job(d, "work")
    if not command.name.strip():
        raise Refused("reading", "Type the second person's name.")
    if d.state.visit is not None and _plain(command.name) == _plain(d.state.visit.technician):
        raise Refused(
            "reading", "That is your own name. Name somebody else who is with you, or leave this work."
        )
    d.emit(PersonNamed(name=command.name.strip()))


def _plain(name: str) -> str:
    """A name without what two ways of writing it may differ in: case, spaces, full stops."""
    return "".join(name.casefold().replace(".", " ").split())


def add_note(d: Draft, command: cmd.AddNote) -> None:
    """Write a note; allowed whatever the job's state, since it changes nothing."""
    if not command.text.strip():
        raise Refused("reading", "The note is empty.")
    run = d.state.run
    d.emit(NoteTaken(text=command.text.strip(), run=run.id if run else 0, step=run.at if run else ""))


def add_photo(d: Draft, command: cmd.AddPhoto) -> None:
    """Keep a photo at the step on screen."""
    run = d.state.run
    where = (run.id, run.at) if run else (0, "")
    d.emit(
        PhotoTaken(
            name=command.name, sha256=command.sha256, caption=command.caption, run=where[0], step=where[1]
        )
    )
