"""No part is fitted or ordered before the customer was asked; what is dear for its age is talked over first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.jobs import Job
from wizard.documents.content.conditions_left import conditions_left
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.parts_order import parts_order
from wizard.documents.text.safety_text import cause_words
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import Price, RefusalReason, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.event_kind import EventKind
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.state.job_state import BeliefChange
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model.consent import needs_consent, talked_over, worth_words
from wizard.safety import WideningReason
from wizard.screens.viewmodels.faults.remedy_lines import remedy_lines

FLOW = load(folder_of("washer-shake"))
AGES = {"under-2": 0, "2-to-8": 1, "over-8": 2, "not-known": 2}
"""From which class on a repair is talked over, by age, as common practice has it: none, high, middle and high."""


def decided(fault: str, **facts: str) -> Job:
    """A job at the repair of a fault that was decided on."""
    known = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}
    job = Job(known | facts, FLOW)
    job.do(c.Confirm((fault,)))
    return job


@pytest.mark.parametrize("age", AGES)
def test_what_is_dear_for_its_age_is_talked_over_first(age: str) -> None:
    """A bearing job of a machine over eight years old is; a foot of one is not, nor anything under two years."""
    least = {0: set(), 1: {Price.HIGH}, 2: {Price.MIDDLE, Price.HIGH}}[AGES[age]]
    for fault in FLOW.faults.values():
        assert bool(talked_over(FLOW, fault, {"age": age})) == (fault.remedy.price in least), fault.id
    assert FLOW.faults["bearings"].remedy.price is Price.HIGH


@pytest.mark.parametrize(("age", "said"), [("over-8", True), ("under-2", False)])
def test_the_repair_screen_says_so(age: str, said: bool) -> None:
    """With the age that was given, in words, and the price in a word."""
    job = decided("bearings", age=age)
    text = " ".join(line.plain for line in remedy_lines(job.view, FLOW.faults["bearings"], 76, False))
    assert "Price, parts and work: high: more than a third of what a new machine costs" in text
    assert ("Talk it over first: Over 8 years." in text) == said


@pytest.mark.parametrize("age", ["under-2", "2-to-8", "over-8"])
def test_no_worth_is_said_of_another_age(age: str) -> None:
    """A machine of over eight years is not told 'below 8 years', nor one that is younger what holds over them."""
    for name, fault in FLOW.faults.items():
        said = worth_words(FLOW, fault, {"age": age})
        other = "below 8 years" if age == "over-8" else "over 8 years"
        assert said and other not in said, name
    dampers = FLOW.faults["dampers-worn"]
    assert worth_words(FLOW, dampers, {"age": "not-known"}) == dampers.remedy.worth == "Yes, below 8 years."
    job = decided("dampers-worn", age=age)
    text = " ".join(line.plain for line in remedy_lines(job.view, dampers, 76, False))
    assert f"Is it worth it? {worth_words(FLOW, dampers, {'age': age})}" in text


def test_a_price_is_said_to_be_told_only_by_the_answer_that_says_so() -> None:
    """No price is in the record: what is known of consent, and the other answer, speak of none."""
    assert "price" not in " ".join(FLOW.conditions["agreed"].values.values())
    for name in ("consent", "consent-young", "consent-middle", "consent-old"):
        says = {a.id: a.says for a in FLOW.inspections[name].step("price").answers}
        assert says["agreed"] == "Agreed by who may decide, after its price was told"
        assert "price" not in says.get("talked-over", "")


def test_every_repair_with_parts_waits_for_consent() -> None:
    """Both shipped flows."""
    for flow in (FLOW, load(folder_of("washer-no-drain"))):
        assert flow.consent
        assert all(needs_consent(flow, f) for f in flow.faults.values() if f.remedy.parts)


def order(job: Job, fault: str) -> None:
    """Put the parts on order."""
    part = FLOW.faults[fault].remedy.parts[0]
    job.do(c.RecordRepair(fault, RepairOutcome.ON_ORDER, (PartFitted(part.id, 1),), "It grinds by hand."))


def test_nothing_is_ordered_that_nobody_agreed_to() -> None:
    """Refused before the question; taken once the customer agreed, though nothing else of the work is known yet."""
    job = decided("bearings", age="over-8")
    with pytest.raises(Refused) as refused:
        order(job, "bearings")
    assert refused.value.reason is RefusalReason.NEEDS and "asked first" in str(refused.value)
    job.do(c.Prepare("bearings"))
    while job.at != "consent-old.price":
        job.answer()
    job.answer("talked-over")
    job.do(c.Leave())
    order(job, "bearings")
    assert job.state.repairs[-1].outcome is RepairOutcome.ON_ORDER


def agreed(job: Job, fault: str, answer: str) -> None:
    """The customer asked for this repair, and their answer."""
    job.do(c.Prepare(fault))
    while not job.at.endswith(".price"):
        job.answer()
    job.answer(answer)
    job.do(c.Leave())


def test_who_agreed_to_one_repair_has_agreed_to_no_other() -> None:
    """Feet and bearings decided, the cheap one agreed to: the dear one is not ordered on that word, nor made ready."""
    job = decided("bearings", age="over-8")
    job.do(c.Confirm(("bearings", "feet"), "Both were seen."))
    agreed(job, "feet", "agreed")
    with pytest.raises(Refused) as refused:
        order(job, "bearings")
    assert refused.value.reason is RefusalReason.NEEDS
    assert "Its price class is high, the machine's age: Over 8 years." in str(refused.value)
    job.do(c.Prepare("bearings"))
    assert job.believed("agreed") == {"yes", "no"}
    assert job.state.changes[-1].widening is WideningReason.OTHER_REPAIR
    agreed(job, "bearings", "talked-over")
    order(job, "bearings")
    assert job.refused(c.RecordRepair("feet", RepairOutcome.ON_ORDER)) is RefusalReason.NEEDS
    said = [
        line
        for line in MARKDOWN.write(customer_handover(job.view)).decode().splitlines()
        if "said to it" in line
    ]
    assert len(said) == 1 and "age and worth" in said[0]


def test_who_declined_one_repair_is_asked_for_the_other() -> None:
    """A 'no' to the bearings bars no feet."""
    job = decided("bearings", age="over-8")
    job.do(c.Confirm(("bearings", "feet"), "Both were seen."))
    job.do(c.Prepare("bearings"))
    while not job.at.endswith(".price"):
        job.answer()
    job.answer("no")
    assert job.believed("agreed") == {"no"}
    agreed(job, "feet", "agreed")
    order(job, "feet")
    assert job.state.repairs[-1].fault == "feet"


def test_who_is_alone_asks_for_consent_to_what_takes_two_and_orders_its_parts() -> None:
    """What bars the work bars no words: the customer is asked, and the job map comes; nothing is made ready."""
    job = decided("dampers-worn", age="2-to-8")
    job.come_to("dampers", "way")
    job.answer("further")
    while job.at != "second.here":
        job.answer()
    job.answer("alone")
    job.do(c.Prepare("dampers-worn"))
    assert job.at == "consent-middle.price"
    job.answer("agreed")
    assert job.at == "map" and job.believed("second") == {"away"}
    order(job, "dampers-worn")
    assert job.state.repairs[-1].outcome is RepairOutcome.ON_ORDER
    with pytest.raises(Refused, match="Second person: not here"):
        job.do(c.Prepare("dampers-worn"))


def test_the_question_says_who_is_asked_and_what_they_are_told() -> None:
    """Both flows: who may decide, what was found, the price with parts and work, the time, and what happens without."""
    for flow in (FLOW, load(folder_of("washer-no-drain"))):
        for name in ("consent", "consent-young", "consent-middle", "consent-old"):
            do = flow.inspections[name].step("price").do
            for words in (
                "what was found",
                "costs with parts and work",
                "how long",
                "without it",
                "who may decide",
            ):
                assert words in do, (name, words)


def test_the_paper_says_what_the_customer_said() -> None:
    """In the words of the answer, under what is on order; of a repair nobody was asked of, nothing."""
    job = decided("bearings", age="over-8")
    job.do(c.Prepare("bearings"))
    while job.at != "consent-old.price":
        job.answer()
    job.answer("talked-over")
    job.do(c.Leave())
    order(job, "bearings")
    text = " ".join(MARKDOWN.write(customer_handover(job.view)).decode().split())
    said = "Agreed by who may decide, after age and worth were talked over"
    assert f"What you said to it: {said}" in text
    listed = parts_order(job.view)
    assert listed is not None and f"The customer said: {said}" in MARKDOWN.write(listed).decode()


def test_consent_is_no_state_in_which_the_machine_is_left() -> None:
    """It stands with the repair; of what a repair may have changed the record says so, not that nobody answered."""
    job = decided("feet")
    job.do(c.Prepare("feet"))
    job.asked()
    assert job.state.shown == (0, "feet")
    assert "Consent to the repair" not in {one.says for one in conditions_left(job.view)}
    shown = BeliefChange(1, "", EventKind.SHOWN, {})
    assert cause_words(shown) == "the repair, which may have changed it"
    assert cause_words(replace(shown, run=3)) == "asked, and not answered"


def test_no_part_is_ordered_on_a_guess() -> None:
    """Dampers that nobody looked at are ordered only with words that say why, as they are fitted; declined without."""
    job = decided("dampers-worn")
    while RefusalReason.CONFIRM is not (
        said := job.refused(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER))
    ):
        assert said is RefusalReason.NEEDS
        job.do(c.Prepare("dampers-worn"))
        if job.at == "dampers.way":
            job.answer("panel")
            job.do(c.Leave())
        while job.at != "map" and job.state.goal:
            job.answer()
    job.do(
        c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER, reason="Oil under two of them.", note="Friday")
    )
    listed = parts_order(job.view)
    assert listed is not None
    text = MARKDOWN.write(listed).decode()
    assert "Presumed: no check of it speaks for it: Oil under two of them." in text and "Note: Friday" in text


def test_a_damper_is_hooked_on_again_only_where_one_was_found_off() -> None:
    """All of them worn, none off its pin: another way of repair than the answers speak of wants its reason."""
    for looked, reason in (("worn", RefusalReason.CONFIRM), ("off", None)):
        job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in FLOW.facts}, FLOW)
        job.do(c.OpenInspection("dampers"))
        while job.at != "dampers.look":
            job.answer()
        job.answer(looked)
        job.do(c.Confirm(("dampers-worn",)))
        job.do(c.Prepare("dampers-worn"))
        while job.state.shown != (0, "dampers-worn"):
            job.answer()
        hook = c.RecordRepair("dampers-worn", RepairOutcome.FITTED, alternative="hook")
        if reason is None:
            job.do(hook)
        else:
            assert job.refused(hook) is reason
            job.do(replace(hook, reason="It was off behind the weight, seen only now."))
