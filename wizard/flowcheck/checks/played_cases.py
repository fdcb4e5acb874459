"""The cases run and end as they say, and which steps and answers no case covers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.domain.flow_vocabulary import ThingKind
from wizard.domain.vocabulary import Severity
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.model.counterexample import Counterexample, Places

if TYPE_CHECKING:
    from wizard.flowcheck.cases.case_result import Played
    from wizard.flowcheck.cases.stop_cases import StopTried


@dataclass(frozen=True, slots=True)
class Coverage:
    """What cases go through. ``steps`` and ``answers`` are ``inspection.step`` and ``inspection.step: answer``, in
    the flow's order; 'unable' is counted among the answers only where a case gives it.
    """

    steps: tuple[str, ...]
    answers: tuple[str, ...]
    no_step: tuple[str, ...]
    no_answer: tuple[str, ...]


def run(flow: Flow, cases: Iterable[Case]) -> tuple[Played, ...]:
    """Every case played, in order."""
    from wizard.flowcheck.cases.case_player import play  # Late: only who plays cases pays for it.

    return tuple(play(flow, case) for case in cases)


def failed(places: Places, played: Iterable[Played]) -> Iterator[Counterexample]:
    """Each case that ended otherwise than it says, at the first expectation that isn't met, with the path it took."""
    for one in played:
        if not one.ok:
            path = tuple(f"{p.step}: {p.text}" for p in one.path)
            said = f'case "{one.case}": {" ".join(one.problems)}'
            yield places.show(places.case(one.case, *one.unmet[:1]), said, "played", path)


def not_stopped(places: Places, tried: Iterable[StopTried]) -> Iterator[Counterexample]:
    """Each answer that should stop work and was not seen to, at its place; not what only the library may ask."""
    for one in tried:
        place = places.step(one.inspection, one.step, one.answer) if one.inspection else None
        said = f'{one.key} should stop work as "{one.stop}": '
        if not one.tried and one.library:
            continue
        if not one.tried:
            said += "no case comes to the step, so it was not tried. Write one"
            yield places.show(
                place or places.entry(ThingKind.FACT, one.step), said, "stops", (one.key,), Severity.WARNING
            )
        elif one.problem:
            yield places.show(
                place or places.entry(ThingKind.FACT, one.step), said + one.problem, "stops", (one.key,)
            )


def coverage(flow: Flow, played: Iterable[Played], tried: Iterable[StopTried] = ()) -> Coverage:
    """What these cases go through and what they leave out. An answer that was ``tried`` for its stop counts."""
    gone = {f"{one.inspection}.{one.step}: {one.answer}" for one in tried if one.tried}
    for one in played:
        for passed in one.path:
            gone.add(passed.step)
            for answer in passed.chosen:
                gone.add(f"{passed.step}: {answer}")
    steps, answers = _all(flow)
    return Coverage(
        tuple(s for s in steps if s in gone),
        tuple(a for a in answers if a in gone),
        tuple(s for s in steps if s not in gone),
        tuple(a for a in answers if a not in gone and a.partition(":")[0] in gone),
    )


def _all(flow: Flow) -> tuple[list[str], list[str]]:
    steps, answers = [], []
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            steps.append(f"{inspection.id}.{step.id}")
            answers += [f"{inspection.id}.{step.id}: {answer.id}" for answer in step.answers]
    return steps, answers
