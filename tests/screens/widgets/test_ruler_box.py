"""The ruler: every edge where it belongs, the reading on it, words beside every sign."""

import pytest

from wizard.documents.charts.limit_ruler import figures, scale
from wizard.documents.content.measurements import worst_of
from wizard.domain.vocabulary import LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged, against
from wizard.flow.model import Band, Limit
from wizard.screens.viewmodels.reading.reading_words import source_words
from wizard.screens.widgets.readings.ruler_box import room_of, ruler

DRAG = Limit(
    id="drag",
    says="Pull of one damper",
    unit="N",
    bands=(
        Band(id="weak", verdict=Verdict.FAIL, below=30.0),
        Band(id="soft", verdict=Verdict.WATCH, below=40.0),
        Band(id="good", verdict=Verdict.PASS, up_to=80.0),
        Band(id="stiff", verdict=Verdict.FAIL),
    ),
    source="Invented for the tests",
    status=LimitStatus.ESTIMATE,
)
BUS = Limit(
    id="bus",
    says="Bus",
    unit="V",
    bands=(Band(id="dead", verdict=Verdict.PASS, below=50.0), Band(id="live", verdict=Verdict.FAIL)),
    source="A rule",
    status=LimitStatus.PUBLISHED,
)
HEAT = Limit(
    id="heat",
    says="Water",
    unit="degC",
    bands=(Band(id="cool", verdict=Verdict.PASS, up_to=313.15), Band(id="hot", verdict=Verdict.FAIL)),
    source="A rule",
    status=LimitStatus.SHEET,
)


def texts(limit, *readings, width=60, plain=False):
    judged = [against(f"item {n + 1}", m, u, 1, limit) for n, (m, u) in enumerate(readings)]
    return [line.plain for line in ruler(limit, judged, width, plain)]


def test_edges_stand_under_their_ticks():
    """The figure of each edge is centred under the place where the bands change."""
    bands, edges = texts(DRAG)[:2]
    ticks = [n for n, sign in enumerate(bands) if sign in "├┤"]
    assert len(ticks) == 3
    for tick, figure in zip(ticks, ("30", "40", "80"), strict=True):
        assert edges.index(figure) <= tick <= edges.index(figure) + len(figure)
    assert edges.endswith("80 N")


def test_edge_belongs_to_the_side_its_tick_is_closed_on():
    """'below 30' gives the edge to the next band, 'up to 80' keeps it."""
    bands = texts(DRAG)[0]
    assert [sign for sign in bands if sign in "├┤"] == ["├", "├", "┤"]


@pytest.mark.parametrize(
    ("value", "word"), [(22.0, "✗ fail"), (58.0, "✓ pass"), (35.0, "! watch"), (90.0, "✗ fail")]
)
def test_reading_stands_in_its_band_and_is_said(value, word):
    """The mark stands between its band's ticks; the line under it gives value and verdict."""
    bands, _edges, marks, words, *_ = texts(DRAG, (value, 0.01))
    edges = [-1, *(n for n, sign in enumerate(bands) if sign in "├┤"), len(bands)]
    own = sum(value >= e for e in (30, 40)) + (value > 80)
    assert edges[own] <= marks.index("▲") <= edges[own + 1]
    assert f"{value:g}" in words and words.endswith(word)


@pytest.mark.parametrize(("plain", "sign", "now"), [(False, "○", "▲"), (True, "o", "^")])
@pytest.mark.parametrize("before", [18.0, 85.0])
def test_an_earlier_reading_is_a_sign_of_its_own_under_its_place(plain, sign, now, before):
    """Before the repair and now: two signs, each in its place, the earlier one with its words and verdict."""
    earlier = against("", before, 1.0, 1, DRAG)
    lines = [str(x) for x in ruler(DRAG, [against("", 58.0, 1.0, 1, DRAG)], 72, plain, earlier=earlier)]
    bands, _edges, marks, _words, ghost = lines[:5]
    fails = [n for n, c in enumerate(bands) if c in ("├┤" if not plain else "|")]
    at = scale(DRAG, [against("", 58.0, 1.0, 1, DRAG), earlier], 72).column(before)
    assert ghost[at] == sign and marks.index(now) != at
    assert (at < fails[0]) == (before < 30.0) and (at > fails[-1]) == (before > 80.0)
    assert "earlier: " in ghost and ("✗ fail" if not plain else "x fail") in ghost and sign not in marks


def test_uncertainty_has_arms():
    """Twice the standard uncertainty is drawn on both sides of the mark."""
    narrow, wide = (texts(DRAG, (58.0, u))[2] for u in (0.5, 6.0))
    assert narrow.count("─") < wide.count("─")


@pytest.mark.parametrize(("value", "sign"), [(4000.0, "►"), (-500.0, "◄")])
def test_reading_far_off_is_shown_at_the_end(value, sign):
    """A value off the ruler neither presses the edges together nor vanishes."""
    bands, _edges, marks, words, *_ = texts(DRAG, (value, 1.0))
    assert marks.strip() == sign
    assert "pass" in bands
    assert f"{value:.0f}" in words.replace(".0", "")


def test_worst_of_several_is_marked_and_named():
    """Of several items the worst is marked; the others are dots."""
    lines = texts(DRAG, (58.0, 1.0), (22.0, 1.0), (60.0, 1.0))
    assert lines[3].startswith("worst: item 2  22.0 ± 1.0 N")
    assert lines[2].count("·") == 2


def test_worst_of_is_the_surest_failure():
    """Verdict first, then how sure it is; nothing read has no worst."""
    readings = [against(str(v), v, 4.0, 1, DRAG) for v in (58.0, 22.0, 5.0, 33.0)]
    assert worst_of(readings, DRAG).name == "5.0"
    assert worst_of([], DRAG) is None


@pytest.mark.parametrize("width", [20, 36, 60, 100])
@pytest.mark.parametrize("limit", [DRAG, BUS, HEAT])
def test_no_line_is_wider_than_the_room(limit, width):
    """Bands and marks fill the width at most, whatever is read."""
    for value in (0.0, 45.0, 313.0, 1e6):
        lines = texts(limit, (value, 3.0), width=width)
        assert len(lines[0]) == width
        assert len(lines[2]) <= width


def test_plain_ruler_is_ascii():
    """Every line has an ASCII form with the same words."""
    lines = texts(DRAG, (22.0, 1.0), plain=True)
    assert all(line.isascii() for line in lines)
    assert "x fail" in lines[3] and "^" in lines[2]


def test_temperatures_start_at_zero_celsius():
    """Kelvins are kept, degrees are shown: the ruler's left end is 0 degC and not 0 K."""
    assert scale(HEAT, [], 60).low == pytest.approx(273.15)
    assert "40 degC" in texts(HEAT)[1]


def test_source_is_said_once():
    """The status stands behind the source, unless the source begins with it."""
    assert source_words(DRAG) == "Pull of one damper. Invented for the tests (estimate)"
    said = Limit(
        id="x", says="X", unit="N", bands=DRAG.bands, source="Estimate: 40 N", status=LimitStatus.ESTIMATE
    )
    assert source_words(said) == "X. Estimate: 40 N"


def test_source_has_the_edges_in_the_unit_on_screen():
    """The source's own figures stay; beside them stands what is on the ruler."""
    said = Limit(
        id="x", says="X", unit="N", bands=DRAG.bands, source="Estimate: 40 N", status=LimitStatus.ESTIMATE
    )
    assert source_words(said, "N") == "X. Estimate: 40 N"
    assert source_words(said, "lbf") == "X. Estimate: 40 N (9 lbf)"
    lines = [str(x) for x in ruler(said, [], 60, unit="lbf")]
    assert "8.99" in lines[1] and lines[1].endswith(" lbf") and lines[-1].endswith("40 N (9 lbf)")


@pytest.mark.parametrize("width", [24, 38, 72, 110])
@pytest.mark.parametrize("unit", ["N", "lbf"])
def test_room_of_a_ruler_is_what_it_takes(width, unit):
    """With a reading on it or none, for a source of any length, a line above it; nothing without a limit."""
    long = Limit(
        id="x",
        says="X",
        unit="N",
        bands=DRAG.bands,
        source="Estimate: 40 N is good, under 30 N is worn. " * 3,
        status=LimitStatus.ESTIMATE,
    )
    for limit in (long, DRAG):
        for read in ([], [against("a", 58.0, 1.0, 1, limit)]):
            takes = len(ruler(limit, read, width, unit=unit))
            assert room_of(limit, unit, width, bool(read)) == max(takes + 1, 6)
            with_ghost = len(ruler(limit, read, width, unit=unit, earlier=against("", 18.0, 1.0, 1, limit)))
            assert with_ghost + 1 <= room_of(limit, unit, width, bool(read), True)
    assert room_of(None, unit, width, True) == 0


@pytest.mark.parametrize("room", [3, 4, 5, 6, 99])
def test_a_source_cut_short_says_so(room):
    """In fewer lines than it takes, the last one ends with a sign; whole, it ends as it is written."""
    says = (
        "29 CFR 1910.333(b)(2) asks for a lock and a tag on every means of disconnection of the circuit. " * 3
    )
    long = Limit(
        id="x", says="X", unit="N", bands=DRAG.bands, source=says.strip(), status=LimitStatus.PUBLISHED
    )
    lines = [str(x) for x in ruler(long, [], 60, room=room)]
    whole = [str(x) for x in ruler(long, [], 60)]
    assert len(lines) == min(room, len(whole)) and max(map(len, lines)) <= 60
    assert lines[-1].endswith("…") == (room < len(whole))


def test_figures_leave_the_unit_out():
    """Edges are figures only; a ratio in percent counts too."""
    assert figures(0.005, "mm") == "5"
    assert figures(0.2, "%") == "20"


def test_limitless_reading_has_no_verdict():
    """A judged value without chances is no failure, and is the worst only when alone."""
    free = Judged("a", 1.0, 0.1, 1)
    assert worst_of([free, against("b", 58.0, 1.0, 1, DRAG)], DRAG).name == "b"
