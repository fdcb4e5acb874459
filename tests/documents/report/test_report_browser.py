"""Reports as a browser shows and prints them: columns and figures where they should be, nothing beyond the edge.

``python -m pytest -m browser``; it needs a Chromium, and says so where there is none.
"""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from tests.helpers import report_jobs as jobs
from tests.helpers.papers.page_browser import laid_out, printed, sheets
from tests.helpers.terminal_program.browser import found
from wizard.sessions.report_writing import write_report

pytestmark = pytest.mark.browser

CASES = [jobs.PROVED, jobs.DECLINED, jobs.NOTHING]


@pytest.fixture(scope="module")
def browser():
    """The browser, or a skip that no one can overlook."""
    path = found()
    if path is None:
        pytest.skip("NO CHROMIUM HERE: what a browser makes of a report WAS NOT LOOKED AT. Install chromium.")
    return path


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """The three reports as files."""
    root = tmp_path_factory.mktemp("shown")
    store = jobs.Store(root, jobs.CaseClock(), jobs.sound)
    return {case: write_report(store, name).path for case, name in jobs.demo_home(root).items()}


@pytest.mark.parametrize("case", CASES)
def test_on_a_phone_nothing_lies_beyond_the_edge_and_all_can_be_read(browser, pages, tmp_path, case):
    """At 360 pixels: no scrolling sideways, letters of 13 pixels and more, columns one above the other."""
    seen = laid_out(browser, pages[case], 360, "body *:not(svg *)", tmp_path)
    assert seen["scroll"] <= seen["inner"] <= 360
    inside = [e for e in seen["found"] if e["name"] not in ("pre", "thead", "tr", "th")]
    assert [e for e in inside if e["right"] > seen["inner"] + 0.5 or e["left"] < -0.5] == []
    read = [e for e in seen["found"] if e["name"] in ("p", "li", "dd", "dt", "td", "figcaption")]
    assert read and min(e["size"] for e in read) >= 13.0
    sides = laid_out(browser, pages[case], 360, ".columns > div", tmp_path)["found"]
    assert sides and all(b["top"] >= a["bottom"] - 1 for a, b in pairwise(sides))


@pytest.mark.parametrize("case", CASES)
def test_on_a_desk_columns_stand_side_by_side(browser, pages, tmp_path, case):
    """At 1100 pixels: right of the left one and level with it; the words of a number right of its ruler."""
    sides = laid_out(browser, pages[case], 1100, ".columns > div", tmp_path)["found"]
    assert len(sides) >= 4
    for left, right in zip(sides[::2], sides[1::2], strict=True):
        assert right["left"] >= left["right"] and abs(right["top"] - left["top"]) < 1
    numbers = laid_out(browser, pages[case], 1100, ".number > *", tmp_path)["found"]
    assert len(numbers) >= 4
    for ruler, words in zip(numbers[::2], numbers[1::2], strict=True):
        assert (
            words["left"] >= ruler["right"]
            and ruler["top"] < words["bottom"]
            and words["top"] < ruler["bottom"]
        )


@pytest.mark.parametrize("width", [360, 1100])
def test_marks_lie_in_the_bands_that_their_words_name(browser, pages, tmp_path, width):
    """Drag of a damper: the ring of 17 N in the first band (not good), the diamond of 61 N in the third (good)."""
    one = ".number svg[aria-label^='Drag of one damper'] *"
    drag = laid_out(browser, pages[jobs.PROVED], width, one, tmp_path)["found"]
    assert any(p["text"] == "before: 17 ± 3 N" for p in drag)
    bands = [p for p in drag if p["name"] == "rect" and p["fill"] == "none"]
    ring = next(p for p in drag if "a5" in p["d"])
    diamond = next(p for p in drag if p["fill"] == "#1a1a1a" and p["name"] == "path")
    assert [p["fill"] for p in (ring, diamond)] == ["#ffffff", "#1a1a1a"] and len(bands) == 5
    for mark, band in ((ring, bands[0]), (diamond, bands[2])):
        assert band["left"] < (mark["left"] + mark["right"]) / 2 < band["right"]
        assert mark["bottom"] <= band["top"] + 8
    # No two words of a ruler lie on each other.
    words = [p for p in drag if p["name"] == "text"]
    for n, one in enumerate(words):
        for other in words[n + 1 :]:
            apart = one["right"] <= other["left"] + 1 or other["right"] <= one["left"] + 1
            assert apart or one["bottom"] <= other["top"] + 3 or other["bottom"] <= one["top"] + 3, (
                one,
                other,
            )


@pytest.mark.parametrize("paper", ["A4", "letter"])
@pytest.mark.parametrize(("case", "most"), [(jobs.PROVED, 2), (jobs.DECLINED, 1), (jobs.NOTHING, 1)])
def test_the_customers_part_prints_on_one_sheet_with_photos_and_cost_on_two(
    browser, pages, tmp_path, case, most, paper
):
    """With its signatures and seal, on either paper; the annex begins on a sheet of its own."""
    text = pages[case].read_text(encoding="utf-8")
    front = tmp_path / "front.html"
    front.write_text(re.sub(r'<section class="annex".*(?=</body>)', "", text, flags=re.S), encoding="utf-8")
    assert sheets(printed(browser, front, paper, tmp_path)) == most
    whole = sheets(printed(browser, pages[case], paper, tmp_path))
    assert most + 5 <= whole <= most + 14
