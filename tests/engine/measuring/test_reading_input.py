"""Readings outside their step's range: never where safety rests on them, never 'pass', never against a finding."""

import pytest

from tests.helpers.jobs import Job
from wizard.engine import audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import computation
from wizard.engine.measuring.reading_input import parsed
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import ReadingTaken, Recorded
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Reading, reading_of
from wizard.measure.quantities import units

SHIPPED = ("washer-shake", "washer-no-drain")


def at_bus() -> Job:
    """A job at the reading that proves the terminals dead."""
    job = Job()
    job.do(c.OpenInspection("motor"))
    while job.at != "dead.volts":
        job.answer()
    return job


def at_pull() -> Job:
    """A job at the pull of three dampers: 0 to 300 N, 40 to 80 N passes."""
    job = Job()
    job.come_to("dampers", "pull")
    return job


@pytest.mark.parametrize("typed", ["-320", "-3", "1600", "-320000 mV", "1e9"])
@pytest.mark.parametrize("sure", [False, True])
def test_what_safety_rests_on_takes_no_reading_outside_its_range(typed, sure):
    """-320 V is a charged bus with the tips the other way round; its band would pass it."""
    job = at_bus()
    run = job.state.run
    assert job.refused(c.TakeReading(run.id, "volts", typed, sure=sure)) == "reading"
    assert not job.state.readings(run.id, "volts") and job.refused(c.Judge(run.id, "volts")) == "reading"


@pytest.mark.parametrize("name", SHIPPED)
def test_nothing_that_safety_rests_on_in_a_shipped_flow_takes_a_number_out_of_its_range(name):
    """Whatever stands in the limits; a charged bus of either sign ends in a refusal or a fail."""
    flow = load(folder_of(name), lambda _digest: True)
    steps = [s for i in flow.inspections.values() if i.procedure for s in i.steps if reading_of(s)]
    assert any(s.reading.unit == "V" for s in steps)
    for step in steps:
        low, high = (units.from_si(edge, step.reading.unit) for edge in (step.reading.low, step.reading.high))
        for value in (low - 1, high + 1, -high):
            with pytest.raises(Refused) as refusal:
                parsed(step.reading, f"{value:g}", "", True, strict=True)
            assert refusal.value.reason == "reading"


def test_a_sign_that_may_be_left_out_is_said_to_be():
    """The size is what counts; a number out of range either way is to be measured again."""
    job = at_bus()
    run = job.state.run
    says = {}
    for typed in ("-320", "1600"):
        with pytest.raises(Refused) as refusal:
            job.do(c.TakeReading(run.id, "volts", typed))
        says[typed] = str(refusal.value)
    assert says["-320"].startswith(
        "-320 V is outside 0 V to 1000 V. For what safety rests on that is never right"
    )
    assert "without the sign" in says["-320"] and "sign" not in says["1600"]
    job.read(320)
    job.do(c.Judge(run.id, "volts"))
    assert job.state.answer_records[-1].verdict == "fail"


def test_a_reading_that_safety_rests_on_is_not_corrected_out_of_its_range():
    """Nor by the way round over a correction."""
    job = at_bus()
    job.do(c.TakeReading(job.state.run.id, "volts", "3"))
    seq = job.state.reading_records[-1].seq
    assert job.refused(c.CorrectReading(seq, "-320", "tips", sure=True)) == "reading"


def test_a_correction_out_of_range_is_asked_about_like_a_reading():
    """And taken when it is said to be right."""
    job = at_pull()
    job.do(c.TakeReading(job.state.run.id, "pull", "60"))
    seq = job.state.reading_records[-1].seq
    assert job.refused(c.CorrectReading(seq, "-60", "misread")) == "range"
    job.do(c.CorrectReading(seq, "-60", "misread", sure=True))
    assert job.state.readings(job.state.run.id, "pull")[0].value == -60


def test_a_correction_counts_in_the_unit_that_was_typed_in():
    """10 lbf corrected to 12 is 12 lbf, 53.38 N (NIST SP 811: 1 lbf = 4.448222 N)."""
    job = at_pull()
    job.do(c.TakeReading(job.state.run.id, "pull", "10", unit="lbf"))
    job.do(c.CorrectReading(job.state.reading_records[-1].seq, "12", "misread"))
    (taken,) = job.state.readings(job.state.run.id, "pull")
    assert (taken.unit, taken.value) == ("lbf", pytest.approx(12 * 4.448222))


def test_a_confirmed_reading_outside_its_range_is_watch_at_best():
    """The band was written for the range; what is bad stays bad."""
    job = at_pull()
    run, step = job.step()
    seen = {}
    for value in (60, -60, 310):
        job.do(c.TakeReading(run.id, "pull", str(value), sure=True))
        (seen[value],) = judging.judge_readings(job.view, step, job.state.readings(run.id, "pull")).items
    assert [j.verdict for j in seen.values()] == ["pass", "fail", "fail"]
    assert [j.doubted for j in seen.values()] == [False, True, True]
    assert seen[310].says == "outside 0 N to 300 N"
    low = judging.doubted(seen[60], step.reading)
    assert (low.verdict, low.doubted) == ("watch", True)


def test_one_repeat_outside_its_range_is_enough():
    """A mean of 40 N of 70, 70 and -20 N isn't believed."""
    job = at_pull()
    run, step = job.step()
    for repeat, typed in enumerate(("70", "75", "-0.5")):
        job.do(c.TakeReading(run.id, "pull", typed, repeat=repeat, sure=True))
    outcome = judging.judge_readings(job.view, step, job.state.readings(run.id, "pull"))
    assert outcome.answer == "watch" and outcome.items[0].doubted


def test_a_reading_outside_its_range_rules_nothing_out():
    """It is no evidence against weak dampers (0.5 says nothing), while a weak one beside it still speaks for them."""
    job = at_pull()
    run, step = job.step()
    job.do(c.TakeReading(run.id, "pull", "310", sure=True))
    judged = judging.judge_readings(job.view, step, job.state.readings(run.id, "pull"))
    assert judged.evidence == {"pull-weak": 0.5}
    job.do(c.TakeReading(run.id, "pull", "5", item=1))
    judged = judging.judge_readings(job.view, step, job.state.readings(run.id, "pull"))
    assert judged.evidence["pull-weak"] > 0.99


def test_what_is_computed_from_it_is_watch_at_best_too():
    """Three dampers at 310 N are alike, but nobody believes it."""
    job = at_pull()
    run, step = job.step()
    for slot in judging.slots(step.reading, job.state.facts):
        job.do(c.TakeReading(run.id, "pull", "310", slot.item, slot.way, slot.repeat, sure=True))
    job.do(c.Judge(run.id, "pull"))
    assert job.at == "dampers.spread"
    outcome = computation(job.view, *job.step()).outcome
    assert outcome.answer == "watch" and all(j.doubted for j in outcome.items)
    assert outcome.items[0].says.endswith("from a reading outside its range")


def test_a_range_is_said_in_the_unit_of_whoever_typed():
    """200 lbf on a scale of 300 N: the range in lbf to four figures, 300 N being 67.44 lbf (NIST SP 811)."""
    job = at_pull()
    run = job.state.run
    for typed, unit, start in (
        ("200", "lbf", "200 lbf is outside 0 lbf to 67.44 lbf."),
        ("200 lbf", "", "200 lbf is outside 0 lbf to 67.44 lbf."),
        ("400 N", "lbf", "400 N is outside 0 N to 300 N."),
        ("400", "", "400 N is outside 0 N to 300 N."),
        ("40 kg", "", "40 kg is outside 0 kgf to 30.59 kgf."),
    ):
        with pytest.raises(Refused) as refusal:
            job.do(c.TakeReading(run.id, "pull", typed, unit=unit))
        assert refusal.value.reason == "range" and str(refusal.value).startswith(start)


@pytest.mark.parametrize("sure", [False, True])
@pytest.mark.parametrize("typed", ["19", "7", "0", "219"])
def test_a_year_is_written_with_four_digits(typed, sure):
    """Nobody can be sure of the year 19; 2019 is taken, and 1899 is asked about like any number out of range."""
    year = Reading("count", 1950.0, 2100.0, "printed", usual=2025.0)
    with pytest.raises(Refused, match=r"Write all four digits, such as 2025.") as refusal:
        parsed(year, typed, "", sure)
    assert refusal.value.reason == "reading"
    assert parsed(year, "2019", "") == 2019
    with pytest.raises(Refused) as refusal:
        parsed(year, "1899", "")
    assert refusal.value.reason == "range"


@pytest.mark.parametrize("typed", ["6205-2RS", "6205 2RS1", "6205ZZ", " 6205/C3"])
def test_a_bearing_is_written_without_what_stands_behind_its_digits(typed):
    """Suffixes name seals and play (common practice): it is said which part of the number to type."""
    bearing = Reading("count", 6000.0, 6308.0, "printed", usual=6205.0)
    with pytest.raises(Refused, match=r"Type the four digits alone, such as 6205: leave out what") as refusal:
        parsed(bearing, typed, "")
    assert refusal.value.reason == "reading" and parsed(bearing, "6205", "") == 6205
    with pytest.raises(Refused, match="is not a unit"):
        parsed(Reading("mm", 0.001, 0.06, "caliper"), "6205-2RS", "")


def test_other_numbers_may_be_short():
    """Coils from 2 to 200, turns, millimetres from 1000 to 2000."""
    assert parsed(Reading("count", 2.0, 200.0, "counting"), "19", "") == 19
    with pytest.raises(Refused) as refusal:
        parsed(Reading("mm", 1.0, 2.0, "rule"), "19", "")
    assert refusal.value.reason == "range"


def test_the_audit_names_a_reading_that_a_procedure_does_not_take():
    """Such as one written into the journal by hand, or by a program that took it."""
    job = at_bus()
    job.do(c.TakeReading(job.state.run.id, "volts", "3"))
    rules = Rules.of(job.flow)
    assert audit.audit(rules, job.records) == ()
    last = job.records[-1]
    assert isinstance(last.event, ReadingTaken)
    forged = Recorded(
        last.seq, last.at, last.since, _with(last.event, value=-320.0, typed="-320"), last.asked
    )
    (breach,) = audit.audit(rules, [*job.records[:-1], forged])
    assert breach.seq == last.seq and breach.says == "It should say otherwise: value, typed."
    asked = _with(last.asked, command=_with(last.asked.command, typed="-320"))
    forged = _with(forged, asked=asked)
    (breach,) = audit.audit(rules, [*job.records[:-1], forged])
    assert breach.seq == last.seq and "outside" in breach.says


def _with(event, **values):
    from dataclasses import replace

    return replace(event, **values)
