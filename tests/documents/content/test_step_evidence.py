"""How what was answered is known: as the flow says of the answer, the condition and the step, else by its kind."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from tests.helpers.jobs import good
from wizard.documents.content.step_evidence import answer_evidence, step_evidence
from wizard.documents.document_tree import Evidence
from wizard.domain.flow_vocabulary import KnownBy
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Phase, StepKind
from wizard.engine.state.job_state import AnswerRecord
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

FLOW = load(folder_of("washer-shake"))


def known(step: str, chosen: tuple[str, ...], condition: str = "") -> Evidence:
    found = FLOW.step(StepRef.parse(step))
    assert found is not None and set(chosen) <= {a.id for a in found.answers}
    return step_evidence(FLOW, found, chosen, condition)


@pytest.mark.parametrize(
    ("step", "chosen", "condition", "evidence"),
    [
        ("before.danger", ("clear",), "shell", Evidence.TOLD),  # 'Ask whether anyone felt a shock.'
        ("before.danger", ("clear",), "outlet", Evidence.SEEN),
        ("dead.again", ("shows",), "dead", Evidence.MEASURED),  # By the tester, between its two proofs.
        ("dead.again", ("shows",), "tester", Evidence.SEEN),
        ("round-front.seen", ("filter", "front"), "filter", Evidence.PRESUMED),  # 'Shut, or it has none.'
        ("round-front.seen", ("filter", "front"), "front", Evidence.SEEN),
        ("closing.filter", ("shut",), "filter", Evidence.SEEN),
        ("proving-spin.fill", ("dry",), "joints", Evidence.PRESUMED),  # 'No water outside.'
        ("proving-spin.fill", ("dry",), "floor", Evidence.SEEN),
        ("hoses-pressure.tissue", ("dry",), "joints", Evidence.SEEN),
        ("no-spin.load", ("ordinary",), "", Evidence.SEEN),  # It lay in the drum.
        ("no-spin.was-in", ("ordinary",), "", Evidence.TOLD),  # It was gone.
        ("quick.load", ("over",), "", Evidence.SEEN),
        ("quick.load", ("told-over",), "", Evidence.TOLD),
        ("arrival.walks", ("yes",), "", Evidence.SEEN),
        ("arrival.walks", ("told",), "", Evidence.TOLD),
        ("hoses-look.rubber-age", ("middling",), "", Evidence.PRESUMED),
        ("handover.turn", ("on",), "joints", Evidence.SEEN),
        ("cut-off.earth", ("looked",), "earth", Evidence.SEEN),
        ("baseline.by-eye", ("little",), "", Evidence.SEEN),
        ("handover.way", ("in-use",), "", Evidence.RECORDED),
        ("arrival.loads", ("all",), "", Evidence.TOLD),
    ],
)
def test_the_shipped_flows_say_how_their_words_are_known(step, chosen, condition, evidence) -> None:
    assert known(step, chosen, condition) is evidence


def test_places_are_those_that_were_seen() -> None:
    """A step that asks where asks whoever looked: nobody told them."""
    asked = [(i.id, s) for i in FLOW.inspections.values() for s in i.steps if s.where]
    assert len(asked) > 5
    assert {step_evidence(FLOW, s, (s.answers[0].id,)) for _i, s in asked} == {Evidence.SEEN}


STEPS = [
    (f"{name}: {i.id}.{s.id}", s)
    for name in ("washer-shake", "washer-no-drain")
    for i in load(folder_of(name)).inspections.values()
    for s in i.steps
    if s.answers
]
LOOKS = re.compile(r"\b(look|weigh|smell|measure|watch|count|feel)\b", re.IGNORECASE)
ASKS = re.compile(r"\bask\b", re.IGNORECASE)
ASKED = re.compile(r"\b(ask|owner|customer|say|tell|sheet|report|decide|tick)\b", re.IGNORECASE)
UNSURE = re.compile(r"nobody knows|not known|nobody can say|as is said|as far as", re.IGNORECASE)


def test_where_one_looks_and_asks_each_answer_says_which_of_the_two_it_is() -> None:
    """'Look, and ask': without a word of its own an answer would go for what was seen, and be printed so."""
    mixed = [(at, s) for at, s in STEPS if LOOKS.search(s.do) and ASKS.search(s.do)]
    assert len(mixed) > 4
    for at, step in mixed:
        for answer in step.answers:
            own = (
                answer.known
                or step.known
                or step.known_of
                or answer.known_of
                or answer.stop
                or not answer.finds
            )
            assert own, f"{at} {answer.id}"


def test_where_nobody_looks_nothing_is_seen_but_a_place() -> None:
    """At a reach of words alone: told, decided, done or presumed; and its words say who is asked or told."""
    words = [(at, s) for at, s in STEPS if s.reach == "talk" and not s.where]
    assert len(words) > 15
    for at, step in words:
        assert ASKED.search(step.do) or step.known, at
        for answer in step.answers:
            found = step_evidence(FLOW, step, (answer.id,))
            assert found not in (Evidence.SEEN, Evidence.MEASURED) or (answer.known or step.known), (
                at,
                answer.id,
            )


def test_what_nobody_is_sure_of_is_neither_seen_nor_measured() -> None:
    """'Nobody knows', 'as is said': printed as seen it would be untrue."""
    unsure = [(at, s, a) for at, s in STEPS for a in s.answers if UNSURE.search(a.says)]
    assert len(unsure) > 4
    for at, step, answer in unsure:
        assert step_evidence(FLOW, step, (answer.id,)) not in (Evidence.SEEN, Evidence.MEASURED), (
            at,
            answer.id,
        )


def test_of_several_ticked_the_least_known_counts() -> None:
    assert known("round-front.seen", ("front", "rear")) is Evidence.SEEN
    assert known("round-front.seen", ("front", "filter", "rear")) is Evidence.PRESUMED


def test_without_a_word_it_goes_by_the_kind_of_step() -> None:
    """Read: measured. Only to do: done. Where only words go: told. Else seen."""
    expected = {
        StepKind.MEASURE: Evidence.MEASURED,
        StepKind.COMPUTE: Evidence.MEASURED,
        StepKind.TELL: Evidence.DONE,
    }
    for inspection in good().inspections.values():
        for step in (s for s in inspection.steps if s.known is None):
            by_reach = Evidence.SEEN if step.reach and good().reaches[step.reach].needs else Evidence.TOLD
            assert step_evidence(good(), step) is expected.get(step.kind, by_reach)


def test_what_stands_nearest_to_the_condition_counts_first() -> None:
    """The answer's condition, the answer, the step's condition, the step."""
    step = good().inspections["quick"].step("bolts")
    plain = replace(step, known=KnownBy.TOLD, known_of={"transit": KnownBy.PRESUMED})
    assert step_evidence(good(), plain, ("no",)) is Evidence.TOLD
    assert step_evidence(good(), plain, ("no",), "transit") is Evidence.PRESUMED
    answers = tuple(replace(a, known=KnownBy.DONE, known_of={}) for a in step.answers)
    own = replace(plain, answers=answers)
    assert step_evidence(good(), own, ("no",), "transit") is Evidence.DONE
    nearest = replace(own, answers=tuple(replace(a, known_of={"transit": KnownBy.MEASURED}) for a in answers))
    assert step_evidence(good(), nearest, ("no",), "transit") is Evidence.MEASURED
    assert step_evidence(good(), nearest, ("no",)) is Evidence.DONE


def test_an_answer_of_a_step_that_is_gone_says_nothing() -> None:
    given = AnswerRecord(1, "", 1, 1, "gone", "step", Phase.BEFORE, ("x",), AnswerHow.ANSWER, "end")
    assert answer_evidence(good(), given) is None
