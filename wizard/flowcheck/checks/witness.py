"""A trap as steps that are done one after the other in the real engine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice

from wizard.domain.chosen_answers import USUAL
from wizard.domain.references import ActRef, AnswerRef, RepairRef, StepRef
from wizard.flow.model import Flow
from wizard.flowcheck.model.machine_variants import tell
from wizard.flowcheck.model.witness_steps import (
    WitnessBelief,
    WitnessConfirmation,
    WitnessMove,
    WitnessOpening,
    WitnessPreparation,
    WitnessStep,
)
from wizard.safety import Reach
from wizard.safety.cover.trap import Trap
from wizard.safety.kinds import MoveKind


def spelled(
    flow: Flow, facts: Mapping[str, str], target: ActRef | Reach, found: Trap
) -> tuple[WitnessStep, ...]:
    """The steps: the machine, what is known, what is opened, then each act and its answer; the round once."""
    known = tuple(
        WitnessBelief(c, tuple(v for v in flow.conditions[c].values if v in values))
        for c, values in found.known.items()
    )
    return (
        *tell(facts),
        *known,
        *_opening(flow, target),
        *_moves(found),
        *(_usual(act) for act in found.round),
    )


def _opening(flow: Flow, target: ActRef | Reach) -> Iterator[WitnessStep]:
    """The steps that make the target ready: an inspection from its step on, or a repair."""
    match target:
        case RepairRef(fault):
            yield from (WitnessConfirmation(fault), WitnessPreparation(fault))
        case StepRef():
            yield WitnessOpening(target)
        case Reach(name):
            steps = (
                StepRef(i.id, s.id) for i in flow.inspections.values() for s in i.steps if s.reach == name
            )
            yield from map(WitnessOpening, islice(steps, 1))


def _moves(found: Trap) -> Iterator[WitnessStep]:
    """A step a move; undoing what a step touched is answering it and taking that back."""
    for move in found.moves:
        match move.kind:
            case MoveKind.ANSWER:
                yield _answer(move.act, move.answer)
            case MoveKind.FORGET:
                yield from (_usual(move.act), WitnessMove.UNDO)
            case MoveKind.AWAY:
                yield WitnessMove.BREAK
            case MoveKind.ANEW:
                yield WitnessMove.RESTART
            case MoveKind.SHOW:
                pass


def _usual(act: ActRef | None) -> AnswerRef:
    """The step answered as it is on a healthy machine."""
    return _answer(act, USUAL)


def _answer(act: ActRef | None, answer: str) -> AnswerRef:
    """An answer to what is asked for something else: always a step, since no remedy establishes anything."""
    assert isinstance(act, StepRef)
    return AnswerRef(act, answer)
