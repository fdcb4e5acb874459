"""What must agree with the flow in the tables of machines, faults and people."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping

from wizard.flow.form.recovery import Path
from wizard.flow.model import Flow
from wizard.flow.problems import nearest
from wizard.practice.declaring.answer_tables import PracticeFile
from wizard.practice.declaring.machine_tables import MachineKind
from wizard.practice.declaring.mismatch import Mismatch
from wizard.practice.declaring.practice_vocabulary import DERIVED, MachineQuantity


def machine_mismatches(files: Mapping[str, PracticeFile], flow: Flow) -> Iterator[Mismatch]:
    """Yield what is wrong with machines, variations, faults and people."""
    first = next(iter(files))
    for name, file in files.items():
        for n, machine in enumerate(file.machines):
            yield from (Mismatch(name, ("machine", n, *path), text) for path, text in _machine(machine, flow))
        for n, variation in enumerate(file.variations):
            for fact, values in variation.facts.items():
                if text := _fact(fact, values, flow):
                    yield Mismatch(name, ("variation", n, "facts", fact), text)
        for n, fault in enumerate(file.faults):
            if fault.id not in flow.faults:
                yield Mismatch(name, ("fault", n, "id"), _none("fault", fault.id, flow.faults))
        for tool in file.people.missing if file.people is not None else ():
            if tool not in flow.tools:
                yield Mismatch(name, ("people", "missing", tool), _none("tool", tool, flow.tools))
    if sum(file.people is not None for file in files.values()) != 1:
        yield Mismatch(first, (), "one of the files, and only one, has [people]")
    yield from (Mismatch(first, (), text) for text in _left_out(files, flow))


def _left_out(files: Mapping[str, PracticeFile], flow: Flow) -> Iterator[str]:
    """Yield what to say of the flow's faults that the machines of these kinds can have and that nobody declares."""
    kinds = {m.id for file in files.values() for m in file.machines}
    if not kinds:
        yield "no [[machine]]: there is nothing to draw"
    known = {f.id for file in files.values() for f in file.faults}
    for fault in flow.faults.values():
        if kinds & set(fault.share) and fault.id not in known:
            yield f'fault "{fault.id}" of the flow is not declared: add a [[fault]]'


def _machine(machine: MachineKind, flow: Flow) -> Iterator[tuple[Path, str]]:
    """Yield the problems of one kind of machine."""
    if text := _fact(flow.kind, [machine.id], flow):
        yield ("id",), text
    for quantity in MachineQuantity:
        if (quantity in machine.quantities) == (quantity in DERIVED):
            words = "is derived: leave it out" if quantity in DERIVED else "is missing. Add it"
            yield ("quantities",), f"{machine.id}: quantity {quantity} {words}"
    for fact, chances in machine.facts.items():
        if text := _fact(fact, chances, flow):
            yield ("facts", fact), text
        elif not math.isclose(sum(chances.values()), 1.0, abs_tol=1e-6):
            yield ("facts", fact), f"{fact}: the chances come to {sum(chances.values()):g}, not 1"
    for quantity, spec in machine.quantities.items():
        if spec.low > spec.high:
            yield ("quantities", quantity), f"{quantity}: from {spec.low:g} is above to {spec.high:g}"
        if spec.per and not all(v.isdecimal() for v in machine.facts.get(spec.per, {"": 1.0})):
            yield (
                ("quantities", quantity, "per"),
                f"{spec.per} counts nothing: every value must be a whole number",
            )


def _fact(fact: str, values: Collection[str], flow: Flow) -> str:
    """Return why a fact can't have these values, or nothing."""
    declared = flow.fact(fact)
    if declared is None:
        return _none("fact", fact, [f.id for f in flow.facts])
    known = [v.id for v in declared.values]
    gone = next((v for v in values if v not in known), "")
    return f'{fact} has no value "{gone}".{nearest(gone, known)}' if gone else ""


def _none(what: str, name: str, known: Collection[str]) -> str:
    """Return that there is no such thing, and what may be meant."""
    return f'there is no {what} "{name}".{nearest(name, known)}'
