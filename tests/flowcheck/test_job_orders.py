"""The order of answers and the ranking, on the shipped flow: jobs played in any order that the rules allow."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.engine.guidance.session_ranking import ranking
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.case_player import play

CASES = ("dampers-worn", "feet-fl", "spider-fl-misled", "bearings-hung", "ring-base")
SLOW = settings(max_examples=examples(12), deadline=None, suppress_health_check=[HealthCheck.too_slow])


@lru_cache(maxsize=1)
def flow() -> Flow:
    """The shipped flow."""
    return load(folder_of("washer-shake"))


@lru_cache(maxsize=1)
def cases() -> dict[str, Case]:
    """Its cases by id."""
    return {c.id: c for c in load_cases(folder_of("washer-shake"), flow())}


@lru_cache(maxsize=8)
def by_order(name: str) -> dict[str, float]:
    """Each fault's probability at the decision, by the flow's own order."""
    return {r.fault: r.probability for r in play(flow(), cases()[name]).ranking}


@st.composite
def orders(draw: st.DrawFn) -> tuple[str, ...]:
    """The search in another order: but what forbids a spin, the drain and the spin first, for what is found later may
    forbid them.
    """
    first = ("no-spin", "drain", "baseline")
    return (*first, *draw(st.permutations([i for i in flow().find if i not in first])))


@SLOW
@given(name=st.sampled_from(CASES), order=orders())
def test_inspections_in_another_order_give_the_same_ranking(name: str, order: tuple[str, ...]) -> None:
    """Through the engine, with all that it asks between: the same probabilities at the decision."""
    played = play(flow(), replace(cases()[name], order=order))
    assert played.outcome == "proved"
    found = {r.fault: r.probability for r in played.ranking}
    assert found == pytest.approx(by_order(name), rel=1e-9, abs=1e-12)


@st.composite
def answers(draw: st.DrawFn) -> tuple[AnswerRecord, ...]:
    """An answer of each of up to twenty steps that are chosen, in the order of the flow."""
    steps = [(i, s) for i in flow().inspections.values() for s in i.steps if s.answers and not s.many]
    chosen = draw(st.lists(st.sampled_from(range(len(steps))), min_size=2, max_size=20, unique=True))
    found = []
    for seq, place in enumerate(sorted(chosen), 1):
        inspection, step = steps[place]
        answer = draw(st.sampled_from(step.answers))
        heard = dict(answer.finds) | {f: 1.0 - w for f, w in answer.rules_out.items()}
        evidence = {f: min(max(e, 0.02), 0.98) for f, e in heard.items()}
        found.append(
            AnswerRecord(
                seq, "", 1, 1, inspection.id, step.id, "before", answer.id, "answer", "end", evidence=evidence
            )
        )
    return tuple(found)


@settings(max_examples=examples(80), deadline=None)
@given(
    said=answers(), kind=st.sampled_from(["front-loader", "top-hung", "top-base", "other"]), data=st.data()
)
def test_any_answers_in_any_order_give_the_same_ranking(
    said: tuple[AnswerRecord, ...], kind: str, data: st.DataObject
) -> None:
    """Answers shuffled: evidence and every fault's probability stay what they were."""
    shuffled = tuple(data.draw(st.permutations(said)))
    one, two = (JobView.of(flow(), State(facts={"kind": kind}, answer_records=g)) for g in (said, shuffled))
    assert inspection_queries.evidence(one) == pytest.approx(
        dict(inspection_queries.evidence(two)), abs=1e-12
    )
    chances = {r.fault: r.probability for r in ranking(one)}
    assert {r.fault: r.probability for r in ranking(two)} == pytest.approx(chances, rel=1e-9, abs=1e-12)
