"""A remedy of alternatives: the one that was done is recorded and printed; and a set claims no more than was fitted."""

from __future__ import annotations

import pytest
from test_papers_handover import section, text_of, worn, written

from tests.helpers.flows.flow_edits import WAYS, alternatives
from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import NextKind, RefusalReason, RepairOutcome
from wizard.engine.audit import audit
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted, whole_sets
from wizard.flow.model import Alternative
from wizard.review import event_text
from wizard.screens.viewmodels.job_map.map_rows import rows


def prepared() -> Job:
    """Ready for the repair."""
    job = Job(flow=alternatives()).find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    return job


@pytest.mark.parametrize("way", WAYS, ids=lambda way: way.id)
def test_the_papers_print_what_was_done_and_not_the_other(way: Alternative) -> None:
    """Handover, record, and the event in words."""
    job = prepared()
    parts = whole_sets(job.flow.faults["dampers-worn"].remedy, job.state.facts, way.id)
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, parts, alternative=way.id))
    other = next(w for w in WAYS if w is not way)
    done = section(written(job), "What was done")
    assert way.says in done and other.says not in done
    record = section(text_of(technician_record(job.view)), "Decision and repair")
    word = "fitted" if way.parts else "done"
    assert f"- Visit 1, {way.says}: **{word}**" in record and other.says not in record
    assert event_text.event_words(job.view, job.records[-1].event).startswith(f"{way.says}: {word}.")
    assert job.restart().state.repairs[-1].alternative == way.id


@pytest.mark.parametrize("said", ["", "paint"])
def test_a_repair_that_does_not_say_which_is_refused(said: str) -> None:
    """None named, or one that there isn't."""
    command = c.RecordRepair("dampers-worn", RepairOutcome.FITTED, alternative=said)
    assert prepared().refused(command) is RefusalReason.UNKNOWN


def test_a_part_that_goes_in_for_another_alternative_is_refused() -> None:
    """What was cleared took no damper; the change did, and says so on the paper."""
    job = prepared()
    part = (PartFitted("damper", 1),)
    assert job.refused(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, part, alternative="clear")) is (
        RefusalReason.READING
    )
    whole = (PartFitted("damper", 3), PartFitted("pin-set", 1))
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, whole, alternative="change"))
    assert "Change the pump. Parts: 3 x Damper, 1 x Set of pins." in section(written(job), "What was done")


def test_a_remedy_without_alternatives_has_none_to_name() -> None:
    """Nor does one declined or on order."""
    job = worn()
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    assert job.refused(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, alternative="clear")) is (
        RefusalReason.UNKNOWN
    )
    waits = prepared()
    waits.do(c.RecordRepair("dampers-worn", RepairOutcome.ON_ORDER))
    assert waits.state.repairs[-1].alternative == ""


def test_the_audit_finds_a_journal_with_one_sound() -> None:
    """The rules would have written the same."""
    job = prepared()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, alternative="clear"))
    assert not list(audit(job.view.rules, job.records))


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ((PartFitted("damper", 3), PartFitted("pin-set", 1)), "Fit a new set of dampers."),
        (
            (PartFitted("damper", 1), PartFitted("pin-set", 1)),
            "Repaired with less than the whole set (1 of 3 Damper): Dampers worn.",
        ),
        (
            (PartFitted("pin-set", 1),),
            "Repaired with less than the whole set (0 of 3 Damper): Dampers worn.",
        ),
        ((), "Repaired, with no part fitted: Dampers worn."),
    ],
)
@pytest.mark.parametrize("way", ["", "change"], ids=["one remedy", "an alternative"])
def test_a_remedy_of_a_set_claims_no_more_than_was_fitted(
    parts: tuple[PartFitted, ...], said: str, way: str
) -> None:
    """One of three, or pins alone, is not 'a new set of dampers', on neither paper, whichever way it was done."""
    if way:
        job, whole = prepared(), "Change the pump"
        job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, parts, alternative=way))
        done = section(written(job), "What was done")
        assert done.startswith(f"- {said.replace('Fit a new set of dampers', whole)}")
        assert (whole in done) == (len(parts) == 2 and parts[0].count == 3)
        assert (whole in section(text_of(technician_record(job.view)), "Decision and repair")) == (
            whole in done
        )
        return
    job = worn()
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, parts))
    done = section(written(job), "What was done")
    assert done.startswith(f"- {said}")
    assert ("a new set" in done) == (len(parts) == 2 and parts[0].count == 3)


def test_what_takes_no_part_is_done_and_words_are_given() -> None:
    """Neither is 'fitted', and neither stands bare on the paper."""
    words, hands = Job(), Job()
    for name in words.flow.find:
        words.through(name)
    words.do(c.Confirm(("normal",)))
    words.fit("normal")
    hands.do(c.Confirm(("wiring",)))
    hands.fit("wiring")
    for job, word in ((words, "given"), (hands, "done")):
        (fault,) = job.state.decided
        says = job.flow.faults[fault].remedy.says
        assert section(written(job), "What was done").startswith(f"- {says}: {word}.")
        record = section(text_of(technician_record(job.view)), "Decision and repair")
        assert f"- Visit 1, {says}: **{word}**" in record
        assert f"{says}: {word}." in event_text.event_words(job.view, job.records[-1].event)
        assert next(r.mark for r in rows(job.view) if r.kind is NextKind.REPAIR) == word
