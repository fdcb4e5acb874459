"""Cases: scripted answers with the result expected. A test of a flow that a trainer can write."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from wizard.flow.model import Reading

Kind = Literal["answer", "readings", "unable", "not-fitted", "stop", "turns"]
_REASONS: Mapping[str, Kind] = {"unable": "unable", "not_fitted": "not-fitted", "stop": "stop"}
TOP: Literal["top"] = "top"


@dataclass(frozen=True, slots=True)
class CaseAnswer:
    """One scripted answer: ids of answers, or numbers in the step's unit, or the reason why there is none.

    One number alone stands for every item, way and repeat; several come in the order item, way, repeat. ``turns`` are
    the answers of a step that is asked several times, the last of them from then on. Kind ``stop``: work is stopped
    there, by the stop key, and ``reason`` is the id of the stop.
    """

    kind: Kind
    ids: tuple[str, ...] = ()
    numbers: tuple[float, ...] = ()
    reason: str = ""
    turns: tuple[CaseAnswer, ...] = ()

    def spread(self, count: int) -> tuple[float, ...]:
        """Return ``count`` numbers; ValueError if there are neither one nor that many."""
        if len(self.numbers) not in (1, count):
            raise ValueError(f"numbers: {len(self.numbers)} are given, this step takes 1 or {count}")
        return self.numbers * count if len(self.numbers) == 1 else self.numbers


@dataclass(frozen=True, slots=True)
class Expect:
    """How a case must end. None: not said."""

    outcome: str
    top: str = ""
    decided: tuple[str, ...] | None = None
    confirmed: tuple[str, ...] | None = None
    stop: str = ""
    bars: tuple[str, ...] | None = None
    debts: tuple[str, ...] | None = None
    minutes_below: float | None = None


@dataclass(frozen=True, slots=True)
class Attempt:
    """An attempt to get past a rule when step ``at`` is asked: ``do`` must be refused for the reason ``refused``.

    ``do`` is ``skip-gate``, ``undo``, ``answer:inspection.step:answer`` or ``open:inspection`` (and through it), or
    what may be done but must make the step at hand refused: ``restart``, ``break``, ``pause:seconds``,
    ``correct:inspection.step:answer``, ``forge:state`` (a journal edited to claim a safety state).
    """

    at: str
    do: str
    refused: str


@dataclass(frozen=True, slots=True)
class Case:
    """One case. ``answers`` and ``after`` (measured again after the repair) are by ``inspection.step``.

    ``confirm`` is the faults confirmed, or TOP for the one ranked first; ``repairs`` what becomes of each, visit by
    visit. ``order`` is the inspections gone through before the decision, None for the flow's own order; ``skip`` gives
    the reasons why inspections (or ``recheck:inspection.step``) are passed over.
    """

    id: str
    says: str
    expect: Expect
    facts: Mapping[str, str] = field(default_factory=dict)
    answers: Mapping[str, CaseAnswer] = field(default_factory=dict)
    after: Mapping[str, CaseAnswer] = field(default_factory=dict)
    confirm: tuple[str, ...] | Literal["top"] = TOP
    repairs: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    order: tuple[str, ...] | None = None
    skip: Mapping[str, str] = field(default_factory=dict)
    attempts: tuple[Attempt, ...] = ()


def count(reading: Reading, facts: Mapping[str, str]) -> int:
    """Return how many numbers a reading takes on a machine; ValueError if the number of items isn't known."""
    items = len(reading.places) or 1
    if reading.each:
        if not facts.get(reading.each, "").isdecimal():
            raise ValueError(f'facts: "{reading.each}" is not known, so the number of items is not')
        items = int(facts[reading.each])
    return items * max(1, len(reading.ways)) * reading.repeats


def build_case(document: Mapping[str, Any]) -> Case:
    """Return the case of a checked document."""
    head = document["case"]
    confirm = head.get("confirm", TOP)
    return Case(
        id=head["id"],
        says=head["says"],
        expect=_expect(head["expect"]),
        facts=dict(head.get("facts", {})),
        answers={step: build_answer(value) for step, value in head.get("answers", {}).items()},
        after={step: build_answer(value) for step, value in head.get("after", {}).items()},
        confirm=TOP if confirm == TOP else tuple(confirm),
        repairs={f: (v,) if isinstance(v, str) else tuple(v) for f, v in head.get("repairs", {}).items()},
        order=_names(head, "order"),
        skip=dict(head.get("skip", {})),
        attempts=tuple(Attempt(a["at"], a["do"], a["refused"]) for a in document.get("attempt", ())),
    )


def build_answer(value: Any) -> CaseAnswer:
    """Return one answer as it stands in a case: an id, ids, a number, numbers in lists, a reason, or turns."""
    if isinstance(value, dict):
        name, reason = next(iter(value.items()))
        if name == "in_turn":
            return CaseAnswer("turns", turns=tuple(build_answer(turn) for turn in reason))
        return CaseAnswer(_REASONS[name], reason=reason)
    flat = _flat(value)
    if all(isinstance(v, str) for v in flat):
        return CaseAnswer("answer", ids=tuple(flat))
    return CaseAnswer("readings", numbers=tuple(float(v) for v in flat))


def _flat(value: Any) -> list[Any]:
    """Return a value, or what is in lists within lists, as one list."""
    return [leaf for entry in value for leaf in _flat(entry)] if isinstance(value, list) else [value]


def _expect(table: Mapping[str, Any]) -> Expect:
    """Return how a case must end."""
    return Expect(
        outcome=table["outcome"],
        top=table.get("top", ""),
        decided=_names(table, "decided"),
        confirmed=_names(table, "confirmed"),
        stop=table.get("stop", ""),
        bars=_names(table, "bars"),
        debts=_names(table, "debts"),
        minutes_below=table.get("minutes_below"),
    )


def _names(table: Mapping[str, Any], key: str) -> tuple[str, ...] | None:
    """Return a list of ids; None where it isn't said."""
    return tuple(table[key]) if key in table else None
