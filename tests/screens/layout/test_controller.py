"""The desk: commands to the engine, refusals turned into what to ask or say."""

import errno

import pytest

from tests.helpers.stage import HandClock, StageJob
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.messages import commands as c
from wizard.journal import journal_writer
from wizard.screens.layout.controller import AskFirst, Attach, Done, JobController, Refusal
from wizard.screens.layout.drafts import Drafts
from wizard.screens.layout.navigation import MapPlace
from wizard.screens.layout.scene_kind import SceneKind
from wizard.screens.text.reason_choices import asked_for
from wizard.sessions.session_store import Store


@pytest.fixture
def clock():
    return HandClock()


@pytest.fixture
def job(tmp_path, clock):
    found = StageJob(Store(tmp_path, clock), clock)
    found.arrive()
    yield found
    found.opened.close()


@pytest.fixture
def desk(job):
    return JobController(job.opened)


def at(job, where):
    """Answer the usual way until a step is on screen."""
    if job.state.run is None:
        job.do(c.OpenInspection(where.partition(".")[0]))
    while job.at != where:
        job.answer()
    return job.state.run.id


def test_a_command_that_the_engine_takes_is_done(desk):
    """Done, and the state moved."""
    assert desk.act(c.OpenInspection("quick")) == Done()
    assert desk.scene.kind == "question"


def test_a_reading_out_of_range_asks_whether_it_is_right(job, desk):
    """Outside what the step expects: sure, or again."""
    run = at(job, "dampers.pull")
    asked = desk.act(c.TakeReading(run, "pull", "4000"))
    assert isinstance(asked, AskFirst) and asked.kind == "sure" and "4000" in asked.says
    assert not job.state.readings(run, "pull")
    assert desk.act(*asked.then("")) == Done()
    assert job.state.readings(run, "pull")[0].value == 4000


def test_what_is_no_number_is_said_and_nothing_is_asked(job, desk):
    """A typing mistake is a sentence."""
    run = at(job, "dampers.pull")
    result = desk.act(c.TakeReading(run, "pull", "sixty"))
    assert isinstance(result, Refusal) and "sixty" in result.says


def test_a_skip_without_a_reason_asks_for_one(job, desk):
    """Leaving an inspection out needs a reason, which the engine then keeps."""
    asked = desk.act(c.Skip("motor", ""))
    assert isinstance(asked, AskFirst) and asked.kind == "reason"
    assert desk.act(*asked.then("no access")) == Done()
    assert job.state.skipped["motor"] == ("skipped", "no access")


def test_a_reason_is_asked_under_the_name_of_what_it_belongs_to(job, desk):
    """The part left out, the repair whose parts are ordered, the step that can't be done: never a bare 'Why?'."""
    run = at(job, "dampers.bounce")
    remedy = job.flow.faults["dampers-worn"].remedy.says
    for act, named in (
        (c.Skip("motor", ""), job.flow.inspections["motor"].title),
        (c.SayUnable(run, "bounce", ""), "Dampers"),
    ):
        asked = desk.act(act)
        assert isinstance(asked, AskFirst) and named in asked.title
    for outcome in RepairOutcome:
        title, _offers = asked_for(job.view, c.RecordRepair("dampers-worn", outcome))
        assert remedy in title


def test_a_lapse_keeps_what_was_typed_and_gives_it_back_once(job, desk):
    """The number typed after a long silence is a draft, put in the field once and no more."""
    run = at(job, "dampers.pull")
    job.clock.move(3600)
    result = desk.act(c.TakeReading(run, "pull", "61"))
    assert isinstance(result, Refusal) and "Nobody was seen here for a while" in result.says
    assert (
        job.state.run.only
        and desk.scene.kind == "question"
        and desk.drafts.find(desk.state, run, "pull") == "61"
    )
    assert desk.drafts.use(desk.state, run, "pull") == "61"
    assert desk.drafts.use(desk.state, run, "pull") == "" and desk.drafts.find(desk.state, run, "pull") == ""


def test_text_under_way_at_a_lapse_is_kept_in_the_journal(tmp_path, job, desk):
    """A key that meets a lapse hands over what stands in the field, and a restart still has it."""
    run = at(job, "dampers.pull")
    job.clock.move(3600)
    assert desk.touch("5")
    assert desk.drafts.find(desk.state, run, "pull") == "5"
    desk.close()
    again = Store(tmp_path, job.clock).resume(job.opened.name)
    assert Drafts().find(again.session.state, run, "pull") == "5"
    again.close()


def test_a_key_within_the_time_ends_nothing(job, desk):
    """Touching is no event while nobody was away."""
    at(job, "dampers.pull")
    before = job.state
    job.clock.move(60)
    assert not desk.touch("5") and job.state == before


def test_a_restart_is_said_until_the_next_act(tmp_path, job, desk):
    """On resuming, the first sentence says why what was known is asked again."""
    at(job, "dampers.bounce")
    desk.close()
    again = JobController(Store(tmp_path, job.clock).resume(job.opened.name))
    assert any(says.startswith("The program was started again since. Hands out") for says in again.notice)
    again.act(c.AddNote("x"))
    assert again.notice == ()
    again.close()


def test_a_beat_says_that_the_computer_slept_and_keeps_what_was_typed(job, desk):
    """Only the wall went on: less is known, the text under way is kept, and the notice says why."""
    run = at(job, "dampers.pull")
    assert not desk.beat("5") and not any("shut" in says for says in desk.notice)
    job.clock.move(300, mono=5)
    assert desk.beat("5")
    assert desk.drafts.find(desk.state, run, "pull") == "5" and desk.notice[0].startswith(
        "The computer was shut for a while."
    )
    assert not desk.beat("5")


def test_a_break_is_said(job, desk):
    """With an open step the hands come out; at the map there are none in."""
    at(job, "dampers.bounce")
    assert desk.act(c.Pause()) == Done()
    assert desk.notice[0].startswith("The break is noted. Hands out of the machine.")
    desk.act(c.Leave(), c.Pause())
    assert desk.notice[0].startswith("The break is noted. What may")


def test_the_note_of_a_fact_is_said_until_the_next_act(tmp_path, clock):
    """A top loader has no dampers: said once that was chosen."""
    job = StageJob(Store(tmp_path, clock), clock)
    while job.state.run is not None:  # What is asked before any fact.
        job.answer()
    desk = JobController(job.opened)
    desk.act(c.SetFact("kind", "top-loader"))
    assert desk.notice == ("It hangs on rods and has no dampers.",)
    desk.act(c.SetFact("stacked", "no"))
    assert desk.notice == ()
    desk.close()


def test_deciding_leads_back_to_the_map(desk):
    """After a decision the place is the map, where the repair is next."""
    desk.place = MapPlace(SceneKind.DECISION)
    assert desk.act(c.Confirm(("dampers-worn",))) == Done()
    assert desk.place == MapPlace()


def test_acts_stop_at_the_first_that_is_refused(job, desk):
    """Of several acts none after a refused one is carried out."""
    result = desk.act(c.AddNote("one"), c.OpenInspection("no-such"), c.AddNote("two"))
    assert isinstance(result, Refusal)
    assert [j.text for j in job.state.notes] == ["one"]


def test_a_photo_that_is_not_there_is_a_sentence(tmp_path, desk):
    """A missing file is said, not raised."""
    result = desk.act(Attach(tmp_path / "none.jpg", "the plug"))
    assert isinstance(result, Refusal) and "none.jpg" in result.says


def test_an_act_written_by_half_is_finished_and_not_given_twice(job, desk, monkeypatch):
    """The disk takes the answer and not what follows of it: tried again with room, the rest is done, and no sentence
    says that the answer came too late.
    """
    run = at(job, "dampers.bounce")
    real, calls = journal_writer.write_all, []

    def full_at_the_second(descriptor, data):
        calls.append(data)
        if len(calls) >= 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(descriptor, data)

    answered = len(job.state.answer_records)
    with monkeypatch.context() as disk:
        disk.setattr(journal_writer, "write_all", full_at_the_second)
        asked = desk.act(
            c.GiveAnswer(run, "bounce", (job.flow.inspections["dampers"].step("bounce").answers[0].id,))
        )
        assert isinstance(asked, AskFirst) and asked.kind == "room" and job.opened.session.due
        again = desk.act(*asked.then(""))
        assert isinstance(again, AskFirst) and again.kind == "room"
    assert desk.act(*again.then("")) == Done() and not job.opened.session.due
    assert len(job.state.answer_records) == answered + 1 and job.at != "dampers.bounce"
