"""Every way that leads from a step: its answers, what becomes of a loop that is used up, and 'unable'."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Literal

from wizard.flow.model import Answer, Flow, Inspection, Step

STOP = "stop:"
UNABLE = "unable"
EFFECTS = (("owe", "owes"), ("pay", "pays"), ("bar", "bars"), ("lift", "lifts"), ("voids", "ends"))
"""What an answer brings about, by its key in a file, and the word that it is drawn with."""


@dataclass(frozen=True, slots=True)
class Link:
    """One way from a step. ``goes`` is a step's id, END or ``stop:ID``; ``says`` the answer as it is read.

    ``kind``: 'answer', 'then' (the answer was given ``most`` times in a run already) or 'unable'. ``effects`` are
    pairs such as ('pays', 'front-panel'). ``back``: it leads to this step or to one before it in the file.
    """

    inspection: str
    step: str
    answer: str
    says: str
    goes: str
    kind: Literal["answer", "then", "unable"] = "answer"
    most: int = 0
    effects: tuple[tuple[str, str], ...] = ()
    back: bool = False

    @property
    def key(self) -> str:
        """What the way is known by: ``inspection.step:answer``, with ``:then`` once a loop is used up."""
        return f"{self.inspection}.{self.step}:{self.answer}{':then' if self.kind == 'then' else ''}"

    @property
    def stop(self) -> str:
        """The id of the stop that it leads to, or empty."""
        return self.goes.removeprefix(STOP) if self.goes.startswith(STOP) else ""


def links(inspection: Inspection) -> tuple[Link, ...]:
    """Every way of an inspection, each once: step by step as in the file, answers in their order, 'unable' last."""
    seen: list[str] = []
    found: list[Link] = []
    for step in inspection.steps:
        seen.append(step.id)
        found += _of_step(inspection.id, step, seen)
    return tuple(found)


def _of_step(inspection: str, step: Step, seen: list[str]) -> Iterator[Link]:
    for answer in step.answers:
        goes = STOP + answer.stop if answer.stop else answer.next
        effects = _effects(answer)
        yield Link(
            inspection, step.id, answer.id, answer.says, goes, "answer", answer.most, effects, goes in seen
        )
        if answer.most and answer.then and not answer.stop:
            yield Link(
                inspection, step.id, answer.id, answer.says, answer.then, "then", answer.most, effects,
                answer.then in seen,
            )  # fmt: skip
    goes = STOP + step.unable.stop if step.unable.stop else step.unable.next
    yield Link(inspection, step.id, UNABLE, "Can't be done", goes, "unable", back=goes in seen)


def _effects(answer: Answer) -> tuple[tuple[str, str], ...]:
    return tuple((word, name) for key, word in EFFECTS for name in getattr(answer, key))


def changes(flow: Flow, inspections: Iterable[Inspection]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """What inspections open, owe besides, close and pay besides: a word and the debts in their order, where there are.

    A debt that some inspection ``opens``, or that is owed on a machine isolated or proved dead and not by the gate to
    it, is something open: a panel, a cover, a filter.
    """
    there = tuple(inspections)
    answers = [a for i in there for step in i.steps for a in step.answers]
    owed = dict.fromkeys([*(d for i in there for d in i.opens), *(d for a in answers for d in a.owe)])
    paid = dict.fromkeys(d for a in answers for d in a.pay)
    panels = _opened(flow)
    for word, names, of_panels in (
        ("opens", owed, True), ("owes", owed, False), ("closes", paid, True), ("pays", paid, False),
    ):  # fmt: skip
        found = tuple(name for name in names if (name in panels) == of_panels)
        if found:
            yield word, found


def _opened(flow: Flow) -> set[str]:
    """The debts that stand for something open."""
    found: set[str] = set()
    for inspection in flow.inspections.values():
        found.update(inspection.opens)
        if inspection.gate != "isolated" and set(inspection.states) <= {"isolated", "proved-dead"}:
            found.update(d for step in inspection.steps for a in step.answers for d in a.owe)
    return found
