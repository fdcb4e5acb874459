"""What one session says of what trends are of, from jobs that were played: against what its state holds."""

import math
from dataclasses import replace

import pytest

from tests.helpers.jobs import Job
from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import store_at
from wizard.archive.session_tally import session_tallies
from wizard.archive.tally_kinds import TallyKind
from wizard.domain.vocabulary import AnswerHow, NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Decided
from wizard.engine.messages.repair_parts import PartFitted
from wizard.engine.queries import proof_queries
from wizard.review.replay import Replay

PARTS = (PartFitted("damper", 3),)


def tallies(replay):
    return {(one.kind, one.name): one for one in session_tallies(replay)}


def replayed(job):
    return Replay(job.view.flow, tuple(job.records))


@pytest.fixture
def proved(tmp_path):
    """A proved job of worn dampers."""
    store = store_at(indexed_home(tmp_path / "home"))
    loaded = store.load(store.home.list_ids()[0])
    return Replay(loaded.flow, loaded.records)


def repaired(how=None):
    """Dampers that pull 18 N, replaced; measuring them again is next."""
    job = Job().find_worn()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    if how is not None:
        job.do(c.Prepare("dampers-worn"))
        job.asked()
        job.do(how)
    job.until(NextKind.RECHECK)
    return job


def measured(job, value):
    """The new dampers are measured at this pull, N."""
    job.do(c.OpenInspection("dampers", "pull"))
    job.asked()
    job.measure(value)
    return job


def test_each_thing_counts_once_a_session(proved):
    """Every step that was answered, and no other; none was left out."""
    found = tallies(proved)
    steps = {name for kind, name in found if kind is TallyKind.STEP}
    assert steps == {str(time.ref) for time in proved.steps if time.how is not AnswerHow.NOT_FITTED}
    assert len(steps) < len(proved.steps) and not any(found[TallyKind.STEP, name].hit for name in steps)


def test_the_first_ranked_is_that_of_the_first_decision(proved):
    """Ranked by the session's own flow at the event before it."""
    place = next(p for p, r in enumerate(proved.records, 1) if isinstance(r.event, Decided))
    first = proved.ranked(place - 1)[0]
    one = tallies(proved)[TallyKind.RANKED, first.fault]
    assert first.fault == "dampers-worn" and not one.hit and one.amount == round(100 * first.probability)


def test_a_proof_that_passed_is_one_that_did_not_fail(proved):
    """Of the session and its fault; nobody wrote down a part, so none was put to a proof."""
    found = tallies(proved)
    assert not found[TallyKind.PROOF, ""].hit and not found[TallyKind.PROOF_FAULT, "dampers-worn"].hit
    assert not any(kind is TallyKind.PROOF_PART for kind, _name in found)


def test_a_part_is_held_by_the_proof_of_its_repair():
    """Those that were fitted, and not those of which none was."""
    job = repaired(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, PARTS, "seen to be worn"))
    measured(job, 18)
    found = tallies(replayed(job))
    assert {name: one.hit for (kind, name), one in found.items() if kind is TallyKind.PROOF_PART} == {
        PARTS[0].part: True
    }


def test_a_repair_that_was_measured_bad_again_failed_its_proof():
    """And one that was not measured yet was put to none."""
    job = repaired()
    assert not any(kind is TallyKind.PROOF for kind, _name in tallies(replayed(job)))
    measured(job, 18)
    assert proof_queries.failed_proof(job.view) is not None
    found = tallies(replayed(job))
    assert found[TallyKind.PROOF, ""].hit and found[TallyKind.PROOF_FAULT, "dampers-worn"].hit


def test_a_time_is_by_the_flows_own_and_a_long_pause_is_none(proved):
    """Each step's seconds by the minutes that its flow gives, in hundredths of a logarithm; what a person left standing
    for longer says nothing.
    """
    found = tallies(proved)
    times = {}
    for time in proved.steps:
        times.setdefault(str(time.ref), []).append(time)
    for name, some in times.items():
        own = proved.flow.step(some[0].ref).minutes * 60.0
        one = found[TallyKind.STEP, name]
        good = [t.seconds for t in some if t.how is AnswerHow.ANSWER and 0 < t.seconds <= own + 600]
        if one.own:
            assert one.own == round(own)
            wanted = 100 * sum(math.log(s / own) for s in good) / len(good)
            assert one.amount == pytest.approx(wanted, abs=0.51)
    slow = [replace(r, since=r.since + 4000.0) for r in proved.records]
    assert not any(one.own for one in tallies(Replay(proved.flow, slow)).values())


@pytest.mark.parametrize(("value", "near"), [(18.0, False), (29.9, True), (60.0, False)])
def test_a_reading_near_an_edge_is_near(value, near):
    """A damper's pull fails below 30 N: 29.9 lies in no band with 95 %, 18 and 60 do."""
    job = Job()
    job.come_to_pull()
    job.measure(value)
    limits = {
        name: one.hit for (kind, name), one in tallies(replayed(job)).items() if kind is TallyKind.LIMIT
    }
    assert limits["damper-drag"] is near


def test_an_inspection_that_was_left_out_is_a_hit():
    """Left out with a reason, where the others were gone through."""
    job = Job()
    job.until(NextKind.INSPECT)
    job.do(c.Skip("dampers", "The customer is in a hurry."))
    found = tallies(replayed(job))
    assert found[TallyKind.INSPECTION, "dampers"].hit
