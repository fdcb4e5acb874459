"""Which ways of a flow its cases go: what a drawing marks as covered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator

from wizard.engine.events import Answered, Entered, Recorded
from wizard.flow.draw.links import UNABLE
from wizard.flow.model import Flow, Step
from wizard.proof.cases import Played


def gone(flow: Flow, played: Iterable[Played]) -> frozenset[str]:
    """The keys (``wizard.flow.draw.Link.key``) of every way that one of these cases goes, in any run and phase.

    Where several answers may be ticked, ticking none is no way of its own. A loop is used up once its answer was given
    in the run as often before as it may lead back.
    """
    return frozenset(key for one in played for key in _keys(flow, one.records))


def _keys(flow: Flow, records: Iterable[Recorded]) -> Iterator[str]:
    runs: dict[int, str] = {}
    given: Counter[tuple[int, str, str]] = Counter()
    for record in records:
        event = record.event
        if isinstance(event, Entered):
            runs.setdefault(event.run, event.inspection)
        elif isinstance(event, Answered):
            where = f"{runs[event.run]}.{event.step}"
            if event.how != "answer":
                yield f"{where}:{UNABLE}"
                continue
            before = given[event.run, event.step, event.answer]
            given[event.run, event.step, event.answer] += 1
            for answer in filter(None, map(_step(flow, where).answer, event.answer.split("+"))):
                yield f"{where}:{answer.id}{':then' if 0 < answer.most <= before else ''}"


def _step(flow: Flow, where: str) -> Step:
    inspection, _, name = where.partition(".")
    step = flow.inspections[inspection].step(name)
    assert step is not None
    return step
