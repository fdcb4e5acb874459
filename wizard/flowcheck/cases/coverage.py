"""Which ways of a flow its cases go: what a drawing marks as covered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow
from wizard.engine.messages.events import Recorded
from wizard.flow.diagrams.step_links import UNABLE, LinkKey, LinkKind
from wizard.flow.model import Answer, Flow
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.run_answers import run_answers
from wizard.flowcheck.cases.stop_cases import StopTried


def gone(flow: Flow, played: Iterable[Played], tried: Iterable[StopTried] = ()) -> frozenset[LinkKey]:
    """The keys of every way that one of these cases goes, in any run and phase.

    A way that was ``tried`` whether it stops work counts too.

    Where several answers may be ticked, ticking none is no way of its own. A loop is used up once its answer was
    given in the run as often before as it may lead back.
    """
    ways = {key for one in played for key in _keys(flow, one.records)}
    return frozenset(ways | {one.key for one in tried if one.tried and isinstance(one.key, LinkKey)})


def _keys(flow: Flow, records: Iterable[Recorded]) -> Iterator[LinkKey]:
    given: Counter[tuple[int, StepRef, tuple[str, ...]]] = Counter()
    for run, event in run_answers(records):
        where = StepRef(run.inspection, event.step)
        if event.how is not AnswerHow.ANSWER:
            yield LinkKey(where, UNABLE, LinkKind.UNABLE)
            continue
        # What is asked for another step is asked in its own run each time: there a row of answers is a loop.
        loop = (0 if run.condition else event.run, where, event.chosen)
        before = given[loop]
        for other in [key for key in given if key[:2] == loop[:2] and key != loop and run.condition]:
            del given[other]
        given[loop] += 1
        for answer in filter(None, map(_answers(flow, where), event.chosen)):
            yield LinkKey(where, answer.id, LinkKind.THEN if 0 < answer.most <= before else LinkKind.ANSWER)


def _answers(flow: Flow, where: StepRef) -> Callable[[str], Answer | None]:
    """What finds an answer of a step by its id."""
    step = flow.step(where)
    assert step is not None
    return step.answer
