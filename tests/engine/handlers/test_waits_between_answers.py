"""Who says that they wait does wait: an answer that asks the step anew says how long, and a second length is taken."""

from __future__ import annotations

from functools import lru_cache

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import RefusalReason
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of, shipped
from wizard.flow.model import Flow


@lru_cache(maxsize=2)
def flow_of(name: str) -> Flow:
    """A shipped flow."""
    return load(folder_of(name), lambda _digest: True)


def job_at(where: str, inspection: str, name: str = "washer-shake", **facts: str) -> Job:
    """A job of the usual answers until a step is on screen."""
    flow = flow_of(name)
    usual = {f.id: f.usual for f in flow.facts}
    job = Job(usual | {"serial": "X1"} | facts, flow)
    job.do(c.OpenInspection(inspection))
    while job.at != where:
        assert job.state.run is not None, f"never came to {where}"
        job.answer()
    return job


def test_a_bus_that_was_charged_is_not_measured_again_at_once() -> None:
    """120 V after five minutes: ten minutes after power went off, and no sooner, it is measured the second time."""
    job = job_at("dead-bus.bus", "dampers")
    off = job.state.belief["supply"].clock
    job.clock.move(job.session.wait_left())
    job.read(120)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    assert job.at == "dead-bus.bus" and job.session.wait_left() > 200
    run, step = job.step()
    assert job.refused(c.TakeReading(run.id, step.id, "5")) is RefusalReason.EARLY
    job.clock.move(job.session.wait_left())
    assert job.clock.mono() - 100.0 >= off
    job.read(5)
    job.do(c.Judge(run.id, step.id))
    assert job.believed("charge") == {"bled"}


def test_measured_again_after_a_break_it_takes_the_first_length() -> None:
    """Power was asked anew: five minutes from then, not ten."""
    job = job_at("dead-bus.bus", "dampers")
    job.clock.move(job.session.wait_left())
    job.read(120)
    run, step = job.step()
    job.do(c.Judge(run.id, step.id))
    job.do(c.Pause())
    while job.at != "dead-bus.bus":
        job.answer()
    assert job.session.wait_left() <= 300.0


def settling(**facts: str) -> Job:
    """Nobody knows whether the drum stands, the plug is out."""
    job = job_at("power.plug", "dampers", **facts)
    job.answer()
    while job.at != "power.try":
        job.answer()
    job.answer("hot")
    assert job.at == "power.settled"
    return job


def test_a_drum_that_turns_is_looked_at_again_after_a_minute() -> None:
    """'It still turns' three times in a row is three minutes, not three keys; the first look is at once."""
    job = settling()
    assert job.session.wait_left() == 0.0
    job.answer("turns")
    run, step = job.step()
    assert job.at == "power.settled" and 50 < job.session.wait_left() <= 60
    assert job.refused(c.GiveAnswer(run.id, step.id, ("turns",))) is RefusalReason.EARLY
    job.clock.move(61)
    job.do(c.GiveAnswer(run.id, step.id, ("settled",)))
    assert job.believed("motion") == {"still"}


def test_what_was_hot_cools_for_ten_minutes() -> None:
    """And who was called away meanwhile waits anew for nothing: after a break it is looked at once more at once."""
    job = settling()
    job.answer("hot")
    assert 590 < job.session.wait_left() <= 600
    job.do(c.Pause())
    while job.at != "power.settled":
        job.answer(*(("hot",) if job.at == "power.try" else ()))
    assert job.session.wait_left() == 0.0


def test_a_machine_that_dries_cools_for_half_an_hour_from_power_off() -> None:
    """Whatever was felt of it before; found hot even then, it is felt again after ten minutes more."""
    job = settling(dries="yes")
    assert job.session.wait_left() == 0.0
    job.answer("hot")
    assert job.at == "cooling.cooled" and 1500 < job.session.wait_left() <= 1800
    job.clock.move(1801)
    run, step = job.step()
    job.do(c.GiveAnswer(run.id, step.id, ("hot",)))
    assert job.at == "cooling.cooled" and 590 < job.session.wait_left() <= 600


def test_every_answer_that_says_so_waits() -> None:
    """In both flows and the library no answer of waiting, cooling or turning can be given twice at once."""
    words = ("waiting", "still turns", "but it is hot")
    said = [
        (f"{i.id}.{s.id}", answer)
        for name in shipped()
        for i in flow_of(name).inspections.values()
        for s in i.steps
        for answer in s.answers
        if answer.most and any(word in answer.says for word in words)
    ]
    assert len({where for where, _ in said}) >= 3 and all(answer.wait >= 1 for _, answer in said)
