"""The cases run and end as they say, and which steps and answers no case covers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.references import AnswerRef, StepRef
from wizard.domain.vocabulary import Severity
from wizard.flow.diagrams.step_links import LinkKey
from wizard.flow.model import Flow, Inspection
from wizard.flow.model.case import Case
from wizard.flowcheck.model.counterexample import Counterexample, Place, Places

if TYPE_CHECKING:
    from wizard.flowcheck.cases.case_result import Played
    from wizard.flowcheck.cases.stop_cases import StopTried


@dataclass(frozen=True, slots=True)
class Coverage:
    """What cases go through, ``steps`` and ``answers``, and what not, in the flow's order; 'unable' is no answer
    here.
    """

    steps: tuple[StepRef, ...]
    answers: tuple[AnswerRef, ...]
    no_step: tuple[StepRef, ...]
    no_answer: tuple[AnswerRef, ...]

    def as_table(self) -> dict[str, list[str]]:
        """It as plain values, for programs."""
        reported = {
            "steps": self.steps,
            "answers": self.answers,
            "no_step": self.no_step,
            "no_answer": self.no_answer,
        }
        return {key: list(map(str, names)) for key, names in reported.items()}


def run(flow: Flow, cases: Iterable[Case]) -> tuple[Played, ...]:
    """Every case played, in order."""
    from wizard.flowcheck.cases.case_player import play  # Late: only who plays cases pays for it.

    return tuple(play(flow, case) for case in cases)


def failed(places: Places, played: Iterable[Played]) -> Iterator[Counterexample]:
    """Each case that ended otherwise than it says, at the first expectation that isn't met, with the path it took."""
    for one in played:
        if not one.ok:
            path = tuple(AnswerRef(p.step, p.text) for p in one.path)
            message = f'case "{one.case}": {" ".join(one.problems)}'
            yield places.show(places.case(one.case, *one.unmet[:1]), message, "played", path)


def not_stopped(places: Places, tried: Iterable[StopTried]) -> Iterator[Counterexample]:
    """Each answer that should stop work and was not seen to, at its place; not what only the library may ask."""
    for one in tried:
        message, shown = f'{one.key} should stop work as "{one.stop}": ', (str(one.key),)
        if not one.tried and not one.library:
            message += "no case comes to the step, so it was not tried. Write one"
            yield places.show(_stop_place(places, one), message, "stops", (), shown, Severity.WARNING)
        elif one.tried and one.problem:
            yield places.show(_stop_place(places, one), message + one.problem, "stops", (), shown)


def _stop_place(places: Places, one: StopTried) -> Place:
    """Where an answer that stops work is written, or the fact with such a value."""
    if isinstance(one.key, LinkKey):
        return places.step(one.key.at.inspection, one.key.at.step, one.key.answer)
    return places.entry(ThingKind.FACT, one.key.fact)


def coverage(flow: Flow, played: Iterable[Played], tried: Iterable[StopTried] = ()) -> Coverage:
    """What these cases go through and what they leave out. An answer that was ``tried`` for its stop counts."""
    gone = {_answer(one.key) for one in tried if one.tried and isinstance(one.key, LinkKey)}
    came: set[StepRef] = set()
    for one in played:
        for passed in one.path:
            came.add(passed.step)
            gone |= {AnswerRef(passed.step, answer) for answer in passed.chosen}
    there = (i for i in flow.inspections.values() if not i.procedure or _has_machines(flow, i))
    steps = tuple(ref for inspection in there for ref in inspection.references)
    answers = tuple(AnswerRef(s, a.id) for s in steps if (step := flow.step(s)) for a in step.answers)
    return Coverage(
        tuple(s for s in steps if s in came),
        tuple(a for a in answers if a in gone),
        tuple(s for s in steps if s not in came),
        tuple(a for a in answers if a not in gone and a.at in came),
    )


def _has_machines(flow: Flow, procedure: Inspection) -> bool:
    """False for a procedure of the library that is for no machine of this flow."""
    facts = {fact.id: {value.id for value in fact.values} for fact in flow.facts}
    return all(not facts.get(fact, set()).isdisjoint(values) for fact, values in procedure.applies.items())


def _answer(key: LinkKey) -> AnswerRef:
    """The answer that a way is taken by."""
    return AnswerRef(key.at, key.answer)
