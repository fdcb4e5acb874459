"""The picture of a limit: places by hand from its numbers, shapes and words beside colour, texts that stay texts."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from tests.documents.report.test_report_hostile import TEXTS
from wizard.documents.charts.pictured_ruler import Leads, ruler_picture
from wizard.documents.ruler_picture import MarkKind, RulerBand, RulerEdge, RulerMark, RulerPicture
from wizard.documents.writers.page.ruler_svg import WIDTH, ruler_svg
from wizard.domain.vocabulary import LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged
from wizard.flow.model import Band, Limit

SVG = "{http://www.w3.org/2000/svg}"


def pull() -> Limit:
    """Under 30 N fails, under 40 N is watched, up to 80 N passes, above fails. In newtons, which are SI."""
    bands = (
        Band(id="low", verdict=Verdict.FAIL, below=30.0),
        Band(id="weak", verdict=Verdict.WATCH, below=40.0),
        Band(id="good", verdict=Verdict.PASS, up_to=80.0),
        Band(id="stiff", verdict=Verdict.FAIL),
    )
    says, status = "Pull of a damper", LimitStatus.ESTIMATE
    return Limit(id="pull", says=says, unit="N", source="Estimate", status=status, bands=bands)


def read(value, verdict, uncertainty=1.0, name=""):
    return Judged(name, value, uncertainty, 1, verdict)


def test_places_are_shares_of_the_line():
    """From 0 N to 80 + 0.35 * 50 = 97.5 N: 30 N lie at .308, 40 at .410, 80 at .821; 18 N at .185, 62 N at .636."""
    picture = ruler_picture(pull(), [read(18.0, Verdict.FAIL)], [read(62.0, Verdict.PASS)])
    assert [round(e.at, 3) for e in picture.edges] == [0.308, 0.410, 0.821]
    assert [e.figure for e in picture.edges] == ["30", "40", "80"] and picture.unit == "N"
    assert [(m.kind, round(m.at, 3), m.beyond) for m in picture.marks] == [
        (MarkKind.BEFORE, 0.185, 0),
        (MarkKind.AFTER, 0.636, 0),
    ]
    # Twice the standard uncertainty to both sides: 16 to 20 N.
    assert round(picture.marks[0].low, 4) == round(16 / 97.5, 4)
    assert round(picture.marks[0].high, 4) == round(20 / 97.5, 4)
    assert [b.verdict for b in picture.bands] == [Verdict.FAIL, Verdict.WATCH, Verdict.PASS, Verdict.FAIL]
    assert (picture.bands[0].start, picture.bands[-1].end) == (0.0, 1.0)


def test_of_several_readings_the_one_that_decides_has_words():
    """The others are dots; what lies beyond an end is marked as such."""
    readings = [read(18.0, Verdict.FAIL, name="one"), read(35.0, Verdict.WATCH), read(500.0, Verdict.FAIL)]
    picture = ruler_picture(pull(), readings, (), "", Leads("before: "))
    worst = [m for m in picture.marks if m.kind is MarkKind.BEFORE]
    assert len(worst) == 1 and worst[0].beyond == 1 and worst[0].at == 1.0
    assert worst[0].words.startswith("before: 500") and len(picture.marks) == 3
    assert "fail below 30 N" in picture.says and "not good" in picture.says


def drawn(picture: RulerPicture) -> ElementTree.Element:
    return ElementTree.fromstring(ruler_svg(picture))


def test_before_is_a_hollow_ring_and_after_a_filled_diamond():
    """Told apart by shape, filling and word; a dashed stem is the one before."""
    picture = ruler_picture(
        pull(), [read(18.0, Verdict.FAIL)], [read(62.0, Verdict.PASS)], "N", Leads("before: ", "after: ")
    )
    root = drawn(picture)
    shapes = [p for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "1.5"]
    assert [("a5" in p.get("d"), p.get("fill")) for p in shapes] == [(True, "#ffffff"), (False, "#1a1a1a")]
    # 8 units of rim: 8 + .1846 * 324 = 67.8, and 8 + .6359 * 324 = 214.0, each beside its shape.
    assert shapes[0].get("d").startswith("M62.8 ") and shapes[1].get("d").startswith("M214.0 ")
    stems = [p.get("stroke-dasharray") for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "1.0"]
    assert stems[0] == "2 2" and None in stems
    texts = [t.text for t in root.iter(f"{SVG}text")]
    assert "before: 18.0 ± 1.0 N" in texts and "after: 62.0 ± 1.0 N" in texts
    assert "good" in texts and "not good" in texts and "80 N" in texts


def test_bands_differ_without_their_colours():
    """What fails is hatched askew, what is watched upright, what passes not at all."""
    root = drawn(ruler_picture(pull(), (), ()))
    hatches = [p.get("d") for p in root.iter(f"{SVG}path") if p.get("stroke-width") == "0.7"]
    assert len(hatches) == 3  # Two bands that fail and one that is watched; the one that passes has none.
    for d in hatches:
        lines = re.findall(r"M([\d.]+) [\d.]+L([\d.]+) [\d.]+", d)
        askew = any(float(a) != float(b) for a, b in lines)
        assert lines and (askew or d == hatches[1])


@pytest.mark.parametrize("value", [0.0, 1.0, 29.0, 40.0, 61.0, 79.5, 97.0, 1e6, -50.0])
def test_no_text_leaves_the_picture(value):
    """Wherever the readings lie, their words fit between the edges of the drawing by its own measure of a letter."""
    picture = ruler_picture(
        pull(), [read(value, Verdict.FAIL)], [read(62.0, Verdict.PASS)], "N", Leads("before: ", "after: ")
    )
    for text in drawn(picture).iter(f"{SVG}text"):
        wide, x = len(text.text) * float(text.get("font-size")) * 0.56, float(text.get("x"))
        left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.get("text-anchor")]
        assert left >= -1.0 and left + wide <= WIDTH + 1.0, text.text


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_is_a_text_in_a_drawing(name):
    """A sheet may name its limit and its unit as it likes: no element and no attribute comes of it."""

    def picture(text: str) -> RulerPicture:
        marks = (RulerMark(MarkKind.AFTER, 0.5, 0.4, 0.6, 0, text),)
        return RulerPicture(
            (RulerBand(0.0, 1.0, Verdict.PASS, "good"),), (RulerEdge(0.5, text[:40]),), marks, text[:40], text
        )

    def shape(text: str):
        return [(e.tag, sorted(e.attrib)) for e in drawn(picture(text)).iter()]

    assert shape(TEXTS[name]) == shape("plain")
