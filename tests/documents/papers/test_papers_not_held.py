"""A repair that was measured and did not hold, or whose proof failed: what both papers and the replay say of it."""

from __future__ import annotations

from test_papers_handover import PARTS, section, text_of, written

from tests.helpers.jobs import Job
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.queries import next_queries
from wizard.engine.state.fold import fold_all
from wizard.review import event_text

HELD = "It was measured afterwards, and did not hold."


def fit(job: Job) -> Job:
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, PARTS))
    return job


def pulled(job: Job, value: float) -> Job:
    """The new dampers are measured at this pull, N."""
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    job.measure(value)
    return job


def repaired() -> Job:
    job = Job().find_worn()
    job.do(c.Confirm(("dampers-worn",)))
    return fit(job)


def walked() -> Job:
    """The dampers are good now, and in the proving spin the machine walks."""
    job = pulled(repaired(), 60)
    while (coming := next_queries.next_up(job.view)).target != "spin":
        job.follow(coming)
    job.come_to("spin")
    job.measure(60)
    return job


def decisions(job: Job) -> list[str]:
    """Each decision in the words of the replay, by the job as it met it."""
    found = []
    for n, record in enumerate(job.records):
        if isinstance(record.event, ev.Decided):
            found.append(event_text.event_words(job.view.at(fold_all(job.records[:n])), record.event))
    return found


def test_what_did_not_hold_is_said_and_repaired_once_more() -> None:
    """Repaired, measured, did not hold, repaired once more: on both papers, in that order."""
    job = pulled(repaired(), 18)
    job.do(c.Confirm(("dampers-worn",)))
    fit(job).until(NextKind.CLOSE)
    first, second = section(written(job), "What was done").splitlines()
    assert first.startswith("- Fit a new set of dampers.") and first.endswith(HELD)
    assert second.startswith("- Once more: Fit a new set of dampers.") and HELD not in second
    record = section(text_of(technician_record(job.view)), "Decision and repair")
    assert record.index("Visit 1, Fit a new set") < record.index(HELD) < record.index("Once more: ")
    assert record.count(HELD) == 1
    assert decisions(job)[1].startswith("Confirmed: Dampers worn. It did not hold, and is repaired once more")


def test_nothing_else_after_a_failed_proof_is_said_with_why_it_is_not_proved() -> None:
    """The reading once, that it was so after the repair, and that nothing else was confirmed."""
    job = walked()
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    text = written(job)
    found = section(text, "What was found")
    assert "It was so after the repair, and nothing was done about it yet." in found
    lines = found.splitlines()
    assert len(lines) == len(set(lines))
    for paper in (text, text_of(technician_record(job.view))):
        why = section(paper, "Not proved, because")
        assert "did not come out well" in why and "nothing else was confirmed" in why
    assert decisions(job)[1] == (
        "Confirmed after the failed proof: nothing else. It stays decided: Dampers worn."
    )


def test_before_that_decision_nothing_is_said_of_it() -> None:
    """The proof has failed, and what is left is still looked for."""
    text = text_of(technician_record(walked().view))
    assert "nothing else was confirmed" not in text
