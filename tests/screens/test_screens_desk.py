"""The desk: commands to the engine, refusals turned into what to ask or say."""

import pytest
from stage import HandClock, StageJob

from wizard.engine import commands as c
from wizard.engine.store import Store
from wizard.screens.desk import Ask, Attach, Desk, Done, Said
from wizard.screens.scene import Place


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
    return Desk(job.opened)


def at(job, where):
    """Answer the usual way until a step is on screen."""
    if job.state.run is None:
        job.do(c.Open(where.partition(".")[0]))
    while job.at != where:
        job.answer()
    return job.state.run.id


def test_a_command_that_the_engine_takes_is_done(desk):
    """Done, and the state moved."""
    assert desk.act(c.Open("quick")) == Done()
    assert desk.scene.kind == "question"


def test_work_for_two_asks_for_the_name_and_goes_on_with_it(tmp_path, clock):
    """The answer to 'who is the second person' names them and tries again."""
    job = StageJob(Store(tmp_path, clock), clock)
    for fact, value in (("kind", "front-loader"), ("dampers", "3"), ("stacked", "no"), ("serial", "")):
        job.do(c.SetFact(fact, value))
    job.do(c.SetComplaint("It bangs."))
    desk = Desk(job.opened)
    asked = desk.act(c.Open("dampers"))
    assert isinstance(asked, Ask) and asked.kind == "person"
    assert desk.act(*asked.then("M. Oak")) == Done()
    assert job.state.visit.person == "M. Oak" and job.at == "isolate.look"
    job.opened.close()


def test_a_reading_out_of_range_asks_whether_it_is_right(job, desk):
    """Outside what the step expects: sure, or again."""
    run = at(job, "dampers.pull")
    asked = desk.act(c.TakeReading(run, "pull", "4000"))
    assert isinstance(asked, Ask) and asked.kind == "sure" and "4000" in asked.says
    assert not job.state.readings(run, "pull")
    assert desk.act(*asked.then("")) == Done()
    assert job.state.readings(run, "pull")[0].value == 4000


def test_what_is_no_number_is_said_and_nothing_is_asked(job, desk):
    """A typing mistake is a sentence."""
    run = at(job, "dampers.pull")
    result = desk.act(c.TakeReading(run, "pull", "sixty"))
    assert isinstance(result, Said) and "sixty" in result.says


def test_a_skip_without_a_reason_asks_for_one(job, desk):
    """Leaving an inspection out needs a reason, which the engine then keeps."""
    asked = desk.act(c.Skip("motor", ""))
    assert isinstance(asked, Ask) and asked.kind == "reason"
    assert desk.act(*asked.then("no access")) == Done()
    assert job.state.skipped["motor"] == ("skipped", "no access")


def test_a_lapse_keeps_what_was_typed_and_gives_it_back_once(job, desk):
    """The number typed after a long silence is a draft, put in the field once and no more."""
    run = at(job, "dampers.pull")
    job.clock.move(3600)
    result = desk.act(c.TakeReading(run, "pull", "61"))
    assert isinstance(result, Said) and "lapsed" in result.says
    assert desk.scene.kind == "lapsed" and desk.draft(run, "pull") == "61"
    assert desk.use_draft(run, "pull") == "61"
    assert desk.use_draft(run, "pull") == "" and desk.draft(run, "pull") == ""


def test_text_under_way_at_a_lapse_is_kept_in_the_journal(tmp_path, job, desk):
    """A key that meets a lapse hands over what stands in the field, and a restart still has it."""
    run = at(job, "dampers.pull")
    job.clock.move(3600)
    assert desk.touch("5")
    assert desk.draft(run, "pull") == "5"
    desk.close()
    again = Store(tmp_path, job.clock).resume(job.opened.name)
    assert Desk(again).draft(run, "pull") == "5"
    again.close()


def test_a_key_within_the_time_ends_nothing(job, desk):
    """Touching is no event while the gate holds."""
    at(job, "dampers.pull")
    before = job.state
    job.clock.move(60)
    assert not desk.touch("5") and job.state == before


def test_a_restart_is_said_with_what_was_known(tmp_path, job, desk):
    """On resuming, the first sentence says which safety state no longer counts."""
    at(job, "dampers.bounce")
    desk.close()
    again = Desk(Store(tmp_path, job.clock).resume(job.opened.name))
    assert any("ISOLATED" in says and "no longer counts" in says for says in again.notice)
    again.act(c.AddNote("x"))
    assert again.notice == ()
    again.close()


def test_the_note_of_a_fact_is_said_until_the_next_act(tmp_path, clock):
    """A top loader has no dampers: said once that was chosen."""
    job = StageJob(Store(tmp_path, clock), clock)
    desk = Desk(job.opened)
    desk.act(c.SetFact("kind", "top-loader"))
    assert desk.notice == ("It hangs on rods and has no dampers.",)
    desk.act(c.SetFact("stacked", "no"))
    assert desk.notice == ()
    desk.close()


def test_deciding_leads_back_to_the_map(desk):
    """After a decision the place is the map, where the repair is next."""
    desk.place = Place("decision")
    assert desk.act(c.Confirm(("dampers-worn",))) == Done()
    assert desk.place == Place()


def test_acts_stop_at_the_first_that_is_refused(job, desk):
    """Of several acts none after a refused one is carried out."""
    result = desk.act(c.AddNote("one"), c.Open("no-such"), c.AddNote("two"))
    assert isinstance(result, Said)
    assert [j.text for j in job.state.jottings] == ["one"]


def test_a_photo_that_is_not_there_is_a_sentence(tmp_path, desk):
    """A missing file is said, not raised."""
    result = desk.act(Attach(tmp_path / "none.jpg", "the plug"))
    assert isinstance(result, Said) and "none.jpg" in result.says


def test_the_way_to_a_state_is_its_gate(job, desk):
    """From covered to isolated through the gate; nothing once it holds."""
    assert desk.way_to(("isolated",)) == "isolate"
    at(job, "dampers.bounce")
    assert desk.way_to(("isolated",)) == ""
