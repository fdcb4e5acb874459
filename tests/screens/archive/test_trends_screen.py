"""The screen of trends by keys: each with its interval and what it is of, and down to the sessions and the replay."""

from contextlib import asynccontextmanager
from dataclasses import replace
from datetime import date, timedelta

import pytest

from tests.archive.trends.test_trend_table import made_facts, made_tallies
from tests.helpers.learned_home import indexed_home
from tests.helpers.stored_sessions import store_at
from tests.screens.archive.test_archive_screen import Reviewing
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.session_appraisal import SessionAppraisal
from wizard.archive.trend_cell import TrendGroup, TrendKind
from wizard.archive.trends.interval_plot import interval_plot, scale_top
from wizard.archive.trends.trend_table import TrendAsked, trend_table
from wizard.screens.archive.archive_app import ArchiveApp
from wizard.screens.archive.trends_lines import more_lines, row_lines
from wizard.screens.archive.trends_view import TrendsView
from wizard.screens.text import charset

SIZES = [(80, 24), (120, 36), (200, 60)]


@pytest.fixture
def store(tmp_path):
    """Nine proved jobs at one machine on one day."""
    return store_at(indexed_home(tmp_path / "home"))


@asynccontextmanager
async def looking(store, size=(80, 24)):
    with ArchiveIndex.open(store.root) as index:
        app = ArchiveApp(store, index)
        async with app.run_test(size=size) as pilot:
            view = Reviewing(app, pilot)
            await view.settle()
            await view.press("r")
            yield view


@pytest.mark.parametrize("size", SIZES)
async def test_one_key_from_the_list_and_each_trend_is_whole(store, size):
    """Right goes through all six and comes back to the first; no line runs over the edge."""
    async with looking(store, size) as v:
        seen = []
        for _ in range(7):
            assert v.name == "TrendsScreen"
            lines = v.text.splitlines()
            seen.append(lines[0].strip())
            assert (
                all(len(line) <= size[0] for line in lines) and "95 %" in v.text
            ) or "No session" in v.text
            await v.press("right")
        assert len(set(seen)) == 6 and seen[0] == seen[6]
        assert seen[0].startswith("Trends  Machines that came back within 30 days, by month")
        await v.press("escape")
        assert v.name == "ArchiveScreen"


async def test_days_that_are_young_are_left_out_and_counted(store):
    """All nine are of the last day of the archive: none had time to come back; within no day eight did."""
    async with looking(store) as v:
        assert "Not counted: 9 jobs younger than 30 days on 2026-03-02" in " ".join(v.text.split())
        await v.press("w")
        for _ in range(4):
            await v.pilot.press("backspace")
        await v.type("soon")
        assert "Write a number of days" in v.text
        for _ in range(4):
            await v.pilot.press("backspace")
        await v.type("0")
        assert "8 of 9" in v.text and "89 %" in v.text and "56.5 to 98.0 %" in v.text


async def test_a_figure_opens_down_to_its_sessions_and_to_the_replay(store):
    """Enter on a row: its hits, or where there is none, all of it; Enter again: one of them gone through."""
    async with looking(store) as v:
        await v.press("w")
        for _ in range(4):
            await v.pilot.press("backspace")
        await v.type("0")
        await v.press("enter")
        assert v.name == "ArchiveScreen" and len(v.shown) == 8
        assert "Trend: came back within 0 days, month 2026-03" in v.text
        await v.press("enter")
        assert v.name == "ReviewScreen"
        await v.press("escape", "escape")
        assert v.name == "TrendsScreen"
        await v.press("a")
        assert len(v.shown) == 9 and "counted for" in v.text


async def test_rows_and_target_and_filter_are_asked_for(store):
    """Rows by a part of the list; a share in per cent; a filter as in the archive, taken away by one key."""
    async with looking(store) as v:
        await v.press("right", "b", "down", "down", "enter")
        assert "Repairs that failed their proof, by month" in v.text
        await v.press("g")
        await v.pilot.press("backspace", "backspace")
        await v.type("120")
        assert "Write a share" in v.text
        for _ in range(4):
            await v.pilot.press("backspace")
        await v.type("2.5")
        assert "over 2.5 %:" in v.text
        await v.press("f", *["down"] * 5, "enter", "down", "enter")
        assert "Only sessions with technician 'R. Vale'" in v.text
        await v.press("c")
        assert "All sessions" in v.text


async def test_what_was_signed_off_counts_too(store):
    """The list shows what is not signed; a trend is of all."""
    async with looking(store) as v:
        assert v.app.screen.view.among == ArchiveFilter()


async def test_the_command_opens_it_first_and_brings_the_index_up(store):
    """What is read meanwhile is counted at its end."""
    with ArchiveIndex.open(store.root) as index:
        asked = TrendAsked(TrendKind.PROOF, store.clock.wall().date().toordinal(), TrendGroup.FAULT)
        app = ArchiveApp(store, index, trend=asked)
        async with app.run_test(size=(80, 24)) as pilot:
            v = Reviewing(app, pilot)
            await v.settle()
            assert "0 of 9" in v.text and "dampers-worn" in v.text
            await v.press("escape")
            assert "F12 leaves" in v.text


@pytest.fixture(scope="module")
def tables(tmp_path_factory):
    """Every trend of a shop that was drawn by a seed."""
    from random import Random

    rng = Random(3)
    facts = [made_facts(rng, n) for n in range(90)]
    facts = [
        replace(f, day=str(date.fromisoformat(f.day) - timedelta(days=n % 3))) for n, f in enumerate(facts)
    ]
    with ArchiveIndex.open(tmp_path_factory.mktemp("drawn")) as index:
        index.put([("mark", one) for one in facts])
        index.appraised([SessionAppraisal(f.session, "", (), 0, (), made_tallies(rng)) for f in facts])
        yield [trend_table(index, TrendAsked(kind, date(2027, 1, 1).toordinal())) for kind in TrendKind]


@pytest.mark.parametrize("width", [78, 118, 198])
@pytest.mark.parametrize("ascii_alone", [False, True])
def test_every_line_has_room_and_an_ascii_form(tables, width, ascii_alone, monkeypatch):
    """Each as wide as the window at the most; where the terminal has no more, of ASCII."""
    monkeypatch.setattr(charset, "plain", lambda: ascii_alone)
    for table in tables:
        view = TrendsView(table.asked.kind, table=table)
        rows = [row.plain for row in row_lines(view, width)]
        assert rows and max(map(len, rows)) <= width
        assert all(row.isascii() for row in rows) or not ascii_alone
        assert all(("●" in row or "▲" in row) is not ascii_alone for row in rows)
        assert all(len(line.plain) <= width for line in more_lines(view, 0, width, 8))


def test_an_interval_is_drawn_where_it_lies(tables):
    """The middle between its ends, the target at its place; what runs over the scale is cut there."""
    for table in tables:
        top = scale_top(table)
        for row in table.rows:
            drawn = interval_plot(table, row, top, 41)
            middle = drawn.find("!") if row.outside else drawn.find("o")
            assert len(drawn) == 41 and middle == min(40, round(min(row.value, top) / top * 40))
            marks = [n for n, mark in enumerate(drawn) if mark in "-o!"]
            assert min(marks) >= round(min(row.low, top) / top * 40) - 1
