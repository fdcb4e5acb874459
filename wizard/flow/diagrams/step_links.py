"""Every way that leads from a step: its answers, what becomes of a loop that is used up, and 'unable'."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum, unique

from wizard.domain.references import Destination, StepRef
from wizard.flow.model import Answer, AnyStep, Flow, Inspection
from wizard.flow.model.acts import Needs

UNABLE = "unable"


@unique
class LinkKind(StrEnum):
    """What a way is taken by: an answer, an answer given ``most`` times in a run already, or 'unable'."""

    ANSWER = "answer"
    THEN = "then"
    UNABLE = "unable"


@dataclass(frozen=True, slots=True, order=True)
class LinkKey:
    """What a way is known by: its step, its answer, and whether a loop is used up by it, or the step can't be done."""

    at: StepRef
    answer: str
    kind: LinkKind = LinkKind.ANSWER

    def __str__(self) -> str:
        return f"{self.at}:{self.answer}{':then' if self.kind is LinkKind.THEN else ''}"


@dataclass(frozen=True, slots=True)
class Link:
    """One way from a step; ``says`` is the answer as it is read. ``so`` is what the answer says of the machine.

    ``back``: it leads to this step or to one before it in the file.
    """

    key: LinkKey
    says: str
    goes: Destination
    most: int = 0
    so: tuple[str, ...] = ()
    back: bool = False

    @property
    def step(self) -> str:
        """The id of the step that it leads from."""
        return self.key.at.step

    @property
    def answer(self) -> str:
        """The id of the answer, or ``unable``."""
        return self.key.answer

    @property
    def kind(self) -> LinkKind:
        """What it is taken by."""
        return self.key.kind

    @property
    def stop(self) -> str:
        """The id of the stop that it leads to, or empty."""
        return self.goes.stop


def links(inspection: Inspection) -> tuple[Link, ...]:
    """Return every way of an inspection, each once: step by step as in the file, 'unable' last."""
    seen: list[str] = []
    found: list[Link] = []
    for step in inspection.steps:
        seen.append(step.id)
        found += _of_step(StepRef(inspection.id, step.id), step, seen)
    return tuple(found)


def _of_step(at: StepRef, step: AnyStep, seen: list[str]) -> Iterator[Link]:
    """Yield the ways of one step; ``seen`` are the steps up to it."""
    for answer in step.answers:
        yield from _of_answer(at, answer, seen)
    goes = step.unable.destination
    yield Link(LinkKey(at, UNABLE, LinkKind.UNABLE), "Can't be done", goes, back=goes.step in seen)


def _of_answer(at: StepRef, answer: Answer, seen: list[str]) -> Iterator[Link]:
    """Yield the way of an answer, and the one it takes once its loop is used up."""
    ways = [(LinkKind.ANSWER, Destination.to_stop(answer.stop) if answer.stop else answer.next)]
    if answer.most and answer.then is not None and not answer.stop:
        ways.append((LinkKind.THEN, answer.then))
    so = conditions(answer.so)
    for kind, goes in ways:
        yield Link(LinkKey(at, answer.id, kind), answer.says, goes, answer.most, so, goes.step in seen)


def conditions(needs: Needs) -> tuple[str, ...]:
    """Return conditions with their values as texts: ``taps open or shut``."""
    return tuple(f"{condition} {' or '.join(sorted(values))}" for condition, values in needs.items())


def parts(flow: Flow) -> Mapping[str, tuple[str, ...]]:
    """Return the parts of a job, each with the ids of its inspections; one stands in the first that it belongs to."""
    drawn_before: set[str] = set()
    found: dict[str, tuple[str, ...]] = {}
    rest = tuple(i for i in flow.inspections if i not in (*flow.find, *flow.prove))
    for heading, names in (
        ("Find", flow.find),
        ("Decide, repair, measure again; then prove", flow.prove),
        ("Parts on order", (flow.leave,)),
        ("Hand over", (flow.handover,)),
        ("Asked where something must be so", flow.procedures),
        ("On the job map only", rest),
    ):
        fresh = tuple(name for name in dict.fromkeys(names) if name not in drawn_before)
        drawn_before.update(fresh)
        if fresh:
            found[heading] = fresh
    return found


def reaches(inspection: Inspection) -> tuple[str, ...]:
    """Return where the hands go in an inspection, in the order of its steps."""
    return tuple(dict.fromkeys(step.reach for step in inspection.steps if step.reach))


def establishes(inspection: Inspection) -> tuple[str, ...]:
    """Return the conditions that the usual answers of an inspection speak of."""
    usual = [step.usual for step in inspection.steps]
    return tuple(dict.fromkeys(condition for answer in usual if answer for condition in answer.so))
