"""The table of what was measured: what was before and after a repair, how many readings, and what failed first."""

from __future__ import annotations

from dataclasses import replace

from test_papers_handover import mended, section, text_of, worn, written

from tests.helpers.jobs import Job
from wizard.documents.content.measurements import Measured, measured
from wizard.documents.papers.sections.measurement_table import rows
from wizard.documents.papers.technician_record import technician_record
from wizard.domain.vocabulary import NextKind, Phase
from wizard.engine.messages import commands as c


def cells(job: Job, name: str) -> list[str]:
    """The cells of the row whose first one begins so."""
    lines = section(written(job), "What was measured").splitlines()
    found = [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]
    return next(row for row in found if row[0].startswith(name))


def test_nothing_is_called_after_the_repair_where_nothing_was_repaired() -> None:
    """No fault confirmed, and the proofs gone through all the same: no 'after' in table, pictures and record."""
    job = Job()
    job.find_worn()
    job.do(c.Confirm(()))
    job.do(c.OpenInspection("spin", phase=Phase.AFTER))
    while job.state.run is not None:
        job.answer()
    assert any(run.inspection == "spin" and run.phase is Phase.AFTER for run in job.state.runs)
    for text in (written(job), text_of(technician_record(job.view))):
        assert "fter the repair" not in text and "| After |" not in text
    also = next(li for li in written(job).splitlines() if li.startswith("Also measured, and good"))
    assert "moved in the spin: 1.0 ± 0.3 mm" in also


def test_what_was_repaired_has_its_before_and_after() -> None:
    """The same proof behind a repair that was made."""
    job = mended(worn())
    job.until(NextKind.CLOSE)
    assert "| What | Before | After | Should be |" in written(job)
    assert "After the repair." in written(job)
    assert "### Proving spin, after the repair, visit 1" in text_of(technician_record(job.view))


def came_back(job: Job) -> Job:
    """Work is stopped, and another visit taken up."""
    job.do(c.StopWork("people"))
    for line in range(len(job.flow.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line))
    job.do(c.BeginVisit("R. Vale", reason="Nobody is near now"))
    job.ask_causes()
    return job


def test_a_fail_stays_though_a_later_visit_read_again() -> None:
    """Nothing was repaired in between: the fail first, then what was read again."""
    job = came_back(worn())
    job.through("dampers", "swings")
    assert cells(job, "Pull")[1] == "18 ± 3 N, not good; read again later: 60 ± 3 N, good"


def test_a_fail_stays_though_it_stopped_the_work() -> None:
    """Stopped in the middle of the dampers, with the fail just read."""
    job = Job()
    job.come_to_pull()
    job.read(18)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    came_back(job)
    job.through("dampers", "swings")
    assert cells(job, "Pull")[1].startswith("18 ± 3 N, not good; read again later: 60")


def test_a_fail_before_the_repair_is_the_value_of_before() -> None:
    """The pull of before stands in its column and that of after in the other, neither twice."""
    job = mended(worn())
    job.until(NextKind.CLOSE)
    assert cells(job, "Pull")[1:3] == ["18 ± 3 N, not good", "60 ± 3 N, good"]


def test_what_is_computed_of_a_reading_is_no_second_reading() -> None:
    """One reading, judged by the limit that also judges what was computed of it: no 'worst of 2'."""
    (pull, *_others) = [m for m in measured(worn().view) if m.step == "pull"]
    computed = replace(pull, step="proof", tool="")
    assert [row.count for row in rows([pull, computed])] == [1]
    assert [row.count for row in rows([pull, replace(pull, name="another")])] == [2]
    assert [row.count for row in rows([computed, replace(computed, name="another")])] == [2]
    assert isinstance(pull, Measured)
