"""Before and after on one axis: as text, in ASCII, as an SVG that stands anywhere; in the papers of a job."""

from __future__ import annotations

from dataclasses import replace
from hashlib import sha256
from xml.etree import ElementTree

import pytest

from tests.helpers.flows.spin_flow import figure, spin, spin_flow
from tests.helpers.jobs import Job
from wizard.documents.charts.spin_chart import phase_levels, spin_chart
from wizard.documents.charts.spins_compared import spins_compared
from wizard.documents.charts.step_charts import step_charts
from wizard.documents.document_tree import Evidence
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.report.recorded_part import recorded_part
from wizard.documents.spin_picture import spin_picture
from wizard.documents.writers.page.page_nodes import Pages
from wizard.documents.writers.page.spin_svg import spin_svg
from wizard.documents.writers.screen_lines import screen_lines
from wizard.domain.recording_vocabulary import DrumLoad, FigureKind, RecordingPlace, SignalKind, SpinPhase
from wizard.engine.messages import commands as c
from wizard.engine.messages.spin_setting import SpinSetting

LOUD = replace(spin(), levels=tuple(2 * level for level in spin().levels))
BANG = figure(FigureKind.BANG, 3.0, 0.3)


def taken(job, found, file):
    """Take a made recording at the step on screen."""
    run, step = job.step()
    job.do(c.TakeSpin(run.id, step.id, found, file, "ab.csv", sha256(file.encode()).hexdigest()))


@pytest.fixture
def job():
    """A job that recorded a spin before, and one at its proof."""
    work = Job(flow=spin_flow())
    work.come_to("recorded", "take")
    taken(work, LOUD, "before.csv")
    work.do(c.Leave())
    work.come_to("spin", "again")
    taken(work, spin(), "after.csv")
    return work


@pytest.mark.parametrize("plain", [True, False])
def test_both_lie_on_one_axis_within_their_width(plain):
    """Phases named under their parts; rings of before above the dots of after; no line too wide."""
    chart = spins_compared(LOUD, spin(), 72, 9, plain)
    assert all(len(line) <= 72 for line in chart.lines)
    assert "|ramp" in chart.lines[-1] and "|spin" in chart.lines[-1] and "|coast" in chart.lines[-1]
    assert any("o" in line for line in chart.lines) and "before" in chart.words[0]
    assert all(ord(ch) < 128 for line in chart.lines for ch in line) == plain


def test_a_ramp_lies_at_its_speed_however_long_it_took():
    """The same speeds in twice the time are drawn at the same places."""
    slow = replace(
        LOUD, seconds=120.0, times=tuple(2 * t for t in LOUD.times),
        stretches=tuple(replace(s, start=2 * s.start, end=2 * s.end) for s in LOUD.stretches),
    )  # fmt: skip
    one, two = spin_picture(LOUD, spin()), spin_picture(slow, spin())
    assert [x for x, _y in one.before[0]] == pytest.approx([x for x, _y in two.before[0]])


def test_what_cannot_be_compared_is_said():
    """A sound beside a motion: words, and no picture."""
    chart = spins_compared(replace(LOUD, signal=SignalKind.SOUND, unit="dB"), spin())
    assert not chart.lines and "can't be set beside" in chart.words[0]


def test_the_drawing_is_whole_and_names_nothing_outside():
    """SVG: parses, has both lines, before dashed; its words for who can't see it; no id, style or reference."""
    picture = spin_picture(LOUD, spin())
    root = ElementTree.fromstring(spin_svg(picture))
    paths = [p for p in root.iter() if p.tag.endswith("path")]
    assert sum("stroke-dasharray" in p.attrib for p in paths) == len(picture.before)
    assert root.attrib["aria-label"] == picture.says
    names = {name for element in root.iter() for name in element.attrib}
    assert not names & {"id", "style", "class", "href", "onload"}
    texts = [t.text for t in root.iter() if t.tag.endswith("text")]
    assert {"before", "after", "ramp", "spin", "coast", "m/s2"} <= set(texts)


def test_the_papers_and_the_report_have_it(job):
    """Handover and record under their pictures; the customer's page as a drawing; each from the recording."""
    charts = [chart for chart in step_charts(job.view) if chart.spin is not None]
    assert len(charts) == 1 and charts[0].known is Evidence.FROM_RECORDING
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = "\n".join(line.text for line in screen_lines(paper, 76))
        assert "before and after" in text and "|ramp" in text
    part = recorded_part(job.view)
    assert part is not None
    nodes = Pages()
    made = nodes.block(part.blocks[0], 2)
    assert made["drawing"]["number"] == 0 and nodes.drawings[0].startswith("<svg")


def heard(*figures, quieter=0.0, **changes):
    """A made sound of the empty machine from the floor: 30 dB over its rest in the spin, or so much quieter."""
    made = spin(*figures, **changes)
    levels = {SpinPhase.REST: -70.0, SpinPhase.RAMP: -45.0, SpinPhase.SPIN: -40.0, SpinPhase.COAST: -46.0}
    stretches = tuple(
        replace(
            s,
            rms=levels[s.phase] - quieter * (s.phase is not SpinPhase.REST),
            rms_u=0.3,
            peak=levels[s.phase] + 4,
        )
        for s in made.stretches
    )
    said = SpinSetting(DrumLoad.EMPTY, RecordingPlace.FLOOR)
    return replace(made, signal=SignalKind.SOUND, unit="dB", stretches=stretches, setting=said)


def sounded(after):
    """A job with a roaring sound before, and this one at its proof."""
    work = Job(flow=spin_flow())
    work.come_to("recorded", "take")
    before = heard(figure(FigureKind.BEARING_TONE, 3.549, 0.018), levels=LOUD.levels)
    taken(work, before, "before.wav")
    work.do(c.Leave())
    work.come_to("spin", "again")
    taken(work, after, "after.wav")
    return work


def test_two_sounds_stand_where_two_motions_do():
    """Proof, handover, record and the customer's page: levels over their rest, the tone that is gone, and the doubt."""
    none = figure(FigureKind.BEARING_TONE, there=False)
    job = sounded(heard(none, quieter=12.0))
    (chart,) = [chart for chart in step_charts(job.view) if chart.spin is not None]
    assert chart.spin.unit == "dB over rest" and "before and after" in chart.title
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = " ".join(line.text.strip() for line in screen_lines(paper, 76))
        assert "In the spin at 1000 rpm it was 30 dB over its own rest before, 18 after: 12 less" in text
        assert "Bearing tone: 3.549 times a turn" in text and "never as loudness" in text
    part = recorded_part(job.view)
    assert part is not None
    nodes = Pages()
    nodes.block(part.blocks[0], 2)
    assert "dB over rest" in nodes.drawings[0] and "never as loudness" in nodes.drawings[0]


def test_an_empty_spin_beside_one_with_towels_is_refused_in_the_papers():
    """No picture on one axis; the one after stands alone, with the sentence on why."""
    job = sounded(replace(heard(), setting=SpinSetting(DrumLoad.TOWELS, RecordingPlace.FLOOR)))
    charts = [chart for chart in step_charts(job.view) if "recorded" in chart.title]
    assert [chart.spin for chart in charts] == [None, None] and recorded_part(job.view) is None
    for paper in (customer_handover(job.view), technician_record(job.view)):
        text = " ".join(line.text.strip() for line in screen_lines(paper, 76))
        assert "empty drum before, wet towels in the drum after. Spin it with the same load." in text


def test_without_one_before_it_stands_alone():
    """No part of the page; the record shows the one there is."""
    work = Job(flow=spin_flow())
    work.come_to("spin", "again")
    taken(work, spin(BANG), "after.csv")
    assert recorded_part(work.view) is None
    assert [chart.spin for chart in step_charts(work.view)] == [None]


@pytest.mark.parametrize("plain", [True, False])
def test_a_course_and_its_phases_fit_their_width(plain):
    """Speed and level of one recording, and a bar a phase, the longest the loudest."""
    record = spin(BANG)
    assert all(len(line) <= 70 for line in spin_chart(record, 70, 5, plain))
    bars = phase_levels(record, 70, plain)
    signs = [line.count("#" if plain else "█") for line in bars]
    assert all(len(line) <= 70 for line in bars) and max(signs) == signs[2]
