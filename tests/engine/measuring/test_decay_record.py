"""A recording taken as a reading: decided, kept, folded, judged, taken back, corrected, audited."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.helpers.decay_records import made, with_recording
from tests.helpers.jobs import Job
from wizard.domain.measure_vocabulary import DampingKind
from wizard.engine.audit import audit
from wizard.engine.measuring import judging
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import ReadingTaken, Recorded, RecordingTaken, from_dict, to_dict
from wizard.engine.state.fold import fold_all
from wizard.errors import JournalError
from wizard.flow.loading.static_check import examine


@pytest.fixture
def job():
    """A job at the recorded step."""
    work = Job(flow=with_recording()[0])
    work.come_to("dampers", "recorded")
    return work


def take(job, **keys):
    """The command that takes a recording at the step on screen."""
    run, step = job.step()
    return c.TakeRecording(run.id, step.id, keys.pop("found", made()), "tub.csv", "ab.csv", "0" * 64, **keys)


def test_a_recording_is_an_event_and_a_reading(job):
    """Two events in one act: the fit with its points, and the number that it gave with its own uncertainty."""
    job.do(take(job))
    kept, read = (r.event for r in job.records[-2:])
    assert isinstance(kept, RecordingTaken) and isinstance(read, ReadingTaken)
    assert (read.typed, read.unit, read.recording) == (made().typed, "1", job.records[-2].seq)
    assert read.uncertainty == 0.002 and job.state.recordings[0].found == made()
    assert job.state.reading_records[-1].recording == job.state.recordings[0].seq


def test_what_a_journal_holds_folds_to_the_same_state(job):
    """Written as TOML tables and read back: nothing is lost, no file and no fit is needed."""
    job.do(take(job))
    again = [from_dict(to_dict(r)) for r in job.records]
    assert fold_all(again) == job.state
    assert again == list(job.records)


def test_its_own_uncertainty_counts_beside_the_tools(job):
    """GUM, 5.1.2: independent ones add by their squares."""
    job.do(take(job, found=made(settles_u=0.03)))
    _run, step = job.step()
    (judged,) = judging.judge_readings(job.view, step, job.state.reading_records).items
    assert judged.uncertainty == pytest.approx((0.01**2 + 0.03**2 + (0.001**2) / 12) ** 0.5, rel=1e-6)


def test_a_step_without_that_aid_takes_no_recording(job):
    """Nor a late one; and a number out of range is asked about."""
    job.do(take(job))
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    job.asked()
    assert job.at == "dampers.pull" and job.refused(take(job)) == "unknown"
    assert job.refused(c.TakeRecording(run.id, "recorded", made(), "tub.csv")) == "late"


def test_it_is_answerable_without_a_recording(job):
    """A typed number, or 'can't'."""
    run, step = job.step()
    job.do(c.SayUnable(run.id, step.id, "No phone to hand."))
    job.asked()
    assert job.at == "dampers.pull" and not job.state.recordings


def test_undo_and_correction_leave_the_recording_in_the_record(job):
    """The number goes, or another takes its place; the file is still named."""
    job.do(take(job))
    job.do(c.Undo())
    assert not job.state.readings(job.state.run.id, "recorded") and len(job.state.recordings) == 1
    job.do(take(job))
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    job.do(c.CorrectReading(job.state.reading_records[-1].seq, "0.3", "The phone slipped."))
    assert job.state.reading_records[-1].recording == 0 and job.state.reading_records[-1].uncertainty == 0.0
    assert [g.text for g in job.state.answer_records if g.step == "recorded" and not g.aside] == ["pass"]


def test_the_audit_finds_nothing_against_what_the_engine_wrote(job):
    """A recording, undone, taken again, judged."""
    job.do(take(job))
    job.do(c.Undo())
    job.do(take(job))
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    assert audit(job.session.rules, job.records) == ()


@pytest.mark.parametrize(
    ("at", "change", "says"),
    [
        (-2, {"found": {"settles": 0.5}}, "found"),
        (-2, {"found": {"damping": DampingKind.VISCOUS}}, "found"),
        (-2, {"found": {"values": (1.0,) * 40}}, "found"),
        (-2, {"step": "pull"}, "step"),
        (-1, {"typed": "0.400", "value": 0.4}, "value, typed"),
        (-1, {"recording": 3}, "recording"),
        (-1, {"recording": 0}, "recording"),
    ],
)
def test_the_audit_names_a_forged_recording(job, at, change, says):
    """The fit, its table, or the number made of it."""
    job.do(take(job))
    record = job.records[at]
    if isinstance(change.get("found"), dict):
        change = {"found": replace(record.event.found, **change["found"])}
    forged = [*job.records]
    forged[at] = Recorded(record.seq, record.at, record.since, replace(record.event, **change), record.asked)
    assert any(
        f"It should say otherwise: {says}." == breach.says for breach in audit(job.session.rules, forged)
    )


def test_a_fit_that_does_not_settle_as_it_says_is_refused_whoever_wrote_it(job):
    """The ratio follows from damping and friction: another one is no fit of ours, asked for or forged."""
    assert job.refused(take(job, found=made(settles=0.5))) == "unknown"


@pytest.mark.parametrize(
    "change",
    [
        {"times": "all"}, {"times": [1.0, 0.5], "values": [1.0, 2.0]}, {"times": [], "values": []},
        {"damping": "magic"}, {"quantity": "speed"},
        {"frequency": 0.0}, {"frequency": True}, {"damping_ratio": 1.0}, {"friction_offset": -1.0},
        {"swings": 1.5}, {"column": 3}, {"values": [float("nan")] * 40}, {"rate": float("inf")}, {"extra": 1},
        {"times": [float(n) for n in range(9, 999)], "values": [0.0] * 990},
    ],
    ids=lambda c: next(iter(c)),
)  # fmt: skip
def test_a_table_that_no_fit_gives_is_a_damaged_journal(job, change):
    """It is said, not drawn."""
    job.do(take(job))
    record = job.records[-2]
    table = to_dict(Recorded(record.seq, record.at, record.since, record.event))
    assert from_dict(table).event == record.event
    with pytest.raises(JournalError, match=rf"^Event {record.seq} \(recording\) can't be read: "):
        from_dict({**table, "found": {**table["found"], **change}})


def test_the_aid_belongs_to_a_ratio():
    """A flow that hangs it on newtons is told so, at its place."""
    files = with_recording()[1]
    name = "inspections/dampers.toml"
    wrong = files[name].replace(
        b'needs = { front = ["off"] }\n', b'needs = { front = ["off"] }\naid = "recording"\n'
    )
    assert wrong != files[name]
    found = examine({**files, name: wrong}).problems
    assert [p.text for p in found] == ['step "pull": aid "recording": it measures ratio, but N is read']
