"""A trap as lines that ``wizard.flowcheck.model.witness_replay`` does one after the other in the real engine."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import islice

from wizard.domain.references import ActRef, RepairRef, StepRef
from wizard.flow.model import Flow
from wizard.flowcheck.model.machine_variants import tell
from wizard.safety import Reach
from wizard.safety.cover.trap import Trap
from wizard.safety.kinds import MoveKind


def spelled(flow: Flow, facts: Mapping[str, str], target: ActRef | Reach, found: Trap) -> tuple[str, ...]:
    """The lines: the machine, what is known, what is opened, then each act and its answer; the round once."""
    known = tuple(f"known {c} = {'|'.join(v for v in flow.conditions[c].values if v in values)}"
                  for c, values in found.known.items())  # fmt: skip
    return (
        *tell(facts),
        *known,
        *_opening(flow, target),
        *_moves(found),
        *(f"{act}: usual" for act in found.round),
    )


def _opening(flow: Flow, target: ActRef | Reach) -> Iterator[str]:
    """The line that makes the target ready: an inspection from its step on, or a repair."""
    match target:
        case RepairRef(fault):
            yield from (f"confirm {fault}", f"prepare {fault}")
        case StepRef():
            yield f"open {target}"
        case Reach(name):
            steps = (
                StepRef(i.id, s.id) for i in flow.inspections.values() for s in i.steps if s.reach == name
            )
            yield from (f"open {ref}" for ref in islice(steps, 1))


def _moves(found: Trap) -> Iterator[str]:
    """A line a move; undoing what a step touched is answering it and taking that back."""
    for move in found.moves:
        match move.kind:
            case MoveKind.ANSWER:
                yield f"{move.act}: {move.answer}"
            case MoveKind.FORGET:
                yield from (f"{move.act}: usual", "undo")
            case MoveKind.AWAY:
                yield "break"
            case MoveKind.ANEW:
                yield "restart"
            case MoveKind.SHOW:
                pass
