"""A case fits its flow: its facts, answers, faults and ends are those of the flow."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from wizard.flow.case import CaseAnswer, build_answer, count
from wizard.flow.model import STATES, Flow, Step, fits
from wizard.flow.problems import Problem, nearest
from wizard.flow.rules.book import Book, Spot
from wizard.measure.units import to_si


def cases(book: Book) -> Iterator[Problem]:
    """Every case of the folder, each with an id of its own."""
    first: dict[str, str] = {}
    for file, document in book.source.sound.items():
        if not file.startswith("cases/") or "case" not in document:
            continue
        yield from case(book, file)
        name = document["case"]["id"]
        if name in first:
            spot = Spot(file, ("case",), "", document["case"])
            yield book.error(
                spot, ("id",), f'"{name}" is already the id of {first[name]}. Give each its own', "id"
            )
        first.setdefault(name, file)


def case(book: Book, file: str) -> Iterator[Problem]:
    """One case."""
    document = book.source.sound[file]
    spot = Spot(file, ("case",), "case", document["case"])
    machine = machine_of(book.flow, spot.table.get("facts", {}))
    yield from _facts(book, spot)
    for key in ("answers", "after"):
        for name, value in spot.table.get(key, {}).items():
            yield from _answer(book, spot, (key, name), value, machine)
    yield from _ends(book, spot)
    for attempt in book.tables(file, "attempt"):
        yield from _attempt(book, attempt)


def machine_of(flow: Flow, given: Mapping[str, str]) -> dict[str, str]:
    """Return the facts of a case's machine: those given, and the usual value of every other one that is asked."""
    machine: dict[str, str] = {}
    for fact in flow.facts:
        value = given.get(fact.id, fact.usual)
        if value and fits(fact.applies, machine):
            machine[fact.id] = value
    return machine


def _facts(book: Book, spot: Spot) -> Iterator[Problem]:
    """The facts are of the flow, and have values that they can."""
    for name, value in spot.table.get("facts", {}).items():
        yield from book.refer(spot, ("facts",), "fact", {name: value}, key=True)
        fact = book.flow.fact(name)
        if fact and fact.values and not fact.value(value):
            said = f'fact "{name}" has no value "{value}".{nearest(value, [v.id for v in fact.values])}'
            yield book.error(spot, ("facts", name), said, "reference")
    given = spot.table.get("facts", {})
    for fact in book.flow.facts:
        if fact.required and fact.values and not fact.usual and fact.id not in given:
            said = f'fact "{fact.id}" has no usual value, so a case must give it'
            yield book.warning(spot, ("facts",), said, "usual")


def _answer(
    book: Book, spot: Spot, keys: tuple[str, str], value: Any, machine: Mapping[str, str]
) -> Iterator[Problem]:
    """One answer is one that its step can take."""
    name = keys[1]
    said = book.missing("step", name)
    if said:
        yield book.error(spot, keys, said, "reference", key=True)
    inspection, _, step_id = name.partition(".")
    found = book.flow.inspections.get(inspection)
    step = found.step(step_id) if found else None
    if step is not None:
        answer = build_answer(value)
        problem = _unfit(step, answer, machine) or _unknown_stop(book, answer)
        if problem:
            yield book.error(spot, keys, f'"{name}": {problem}', "answer")


def _unknown_stop(book: Book, answer: CaseAnswer) -> str:
    """Return what to say where an answer stops work for a reason that isn't there."""
    turns = answer.turns or (answer,)
    return next((s for a in turns if a.kind == "stop" and (s := book.missing("stop", a.reason))), "")


def _unfit(step: Step, answer: CaseAnswer, machine: Mapping[str, str]) -> str:
    """Return why a step can't take an answer; nothing if it can."""
    if answer.kind == "turns":
        return next((said for turn in answer.turns if (said := _unfit(step, turn, machine))), "")
    if answer.kind in ("unable", "not-fitted", "stop"):
        return ""
    if step.kind == "compute":
        return "this is computed and never asked. Take it out"
    if step.kind == "measure":
        return _unfit_numbers(step, answer, machine)
    if answer.kind == "readings":
        return f"this is answered by an id: {', '.join(a.id for a in step.answers)}"
    if len(answer.ids) != 1 and not step.many:
        return "this takes one answer"
    known = [a.id for a in step.answers]
    wrong = next((i for i in answer.ids if i not in known), None)
    return f'"{wrong}" is not one of its answers.{nearest(wrong, known)}' if wrong else ""


def _unfit_numbers(step: Step, answer: CaseAnswer, machine: Mapping[str, str]) -> str:
    """Return why a measure step can't take these numbers; nothing if it can."""
    reading = step.reading
    if reading is None or answer.kind != "readings":
        return "this takes a number, or a list of numbers"
    try:
        answer.spread(count(reading, machine))
    except ValueError as error:
        return str(error)
    for number in answer.numbers:
        if not reading.low <= to_si(number, reading.unit) <= reading.high:
            return f"{number:g} is outside the range of this step"
    return ""


def _ends(book: Book, spot: Spot) -> Iterator[Problem]:
    """The faults, stops, bars and debts of the end are of the flow."""
    confirm = spot.table.get("confirm", [])
    if confirm != "top":
        yield from book.refer(spot, ("confirm",), "fault", confirm)
    yield from book.refer(spot, ("repairs",), "fault", spot.table.get("repairs", {}), key=True)
    yield from book.refer(spot, ("order",), "inspection", spot.table.get("order", ()))
    yield from _skips(book, spot)
    expect = spot.within("expect")
    kinds = {
        "top": "fault",
        "decided": "fault",
        "confirmed": "fault",
        "stop": "stop",
        "bars": "bar",
        "debts": "debt",
    }
    for key, kind in kinds.items():
        yield from book.refer(expect, (key,), kind, expect.table.get(key, ()))
    stopped = expect.table["outcome"] == "stopped"
    if stopped != bool(expect.table.get("stop")):
        said = (
            'outcome = "stopped" needs stop, the id it ends with'
            if stopped
            else 'stop needs outcome = "stopped"'
        )
        yield book.error(expect, ("outcome",), said, "answer")


def _skips(book: Book, spot: Spot) -> Iterator[Problem]:
    """What is passed over is there."""
    for name in spot.table.get("skip", {}):
        where = name.removeprefix("recheck:")
        kind = "step" if "." in where else "inspection"
        if said := book.missing(kind, where):
            yield book.error(spot, ("skip", name), said, "reference", key=True)


def _attempt(book: Book, spot: Spot) -> Iterator[Problem]:
    """The step, and what is tried there, are of the flow."""
    yield from book.refer(spot, ("at",), "step", spot.table["at"])
    verb, _, rest = spot.table["do"].partition(":")
    if verb == "open":
        yield from book.refer(spot, ("do",), "inspection", rest)
    elif verb in ("answer", "correct"):
        yield from book.refer(spot, ("do",), "step", rest.partition(":")[0])
    elif verb == "pause" and not rest.isdecimal():
        yield book.error(spot, ("do",), "pause: takes whole seconds, as in pause:1200", "answer")
    elif verb == "forge" and rest not in STATES:
        said = f"forge: takes a safety state, one of {', '.join(STATES)}.{nearest(rest, STATES)}"
        yield book.error(spot, ("do",), said, "answer")
