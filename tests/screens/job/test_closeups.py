"""A step with the part in hand seen from close by: what stands beside its words, and the whole machine on one key."""

from __future__ import annotations

from contextlib import asynccontextmanager

import pytest

from tests.helpers.stage import SIZES, HandClock, Stage, StageJob
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions.session_store import Store

FOLDER = shipped()["washer-shake"]
NARROW, WIDE = SIZES


@asynccontextmanager
async def at(tmp_path, size, where: str, **facts: str):
    """The shipped flow with a step (``inspection.step``) on screen, all it needs answered the usual way."""
    clock, flow = HandClock(), load(FOLDER)
    store = Store(tmp_path, clock)
    app = SteadfootApp(store, shipped)
    async with app.run_test(size=size) as pilot:
        job = StageJob(store, clock, flow, FOLDER)
        job.arrive({**{fact.id: fact.usual or "-" for fact in flow.facts}, **facts})
        job.come_to(*where.split("."))
        assert job.at == where
        on = Stage(app, pilot, job, clock)
        app.host.take(job.opened)
        await on.settle()
        yield on


def drawn(s: Stage, where: str) -> bool:
    """Whether all of a drawing is in sight, with the name of what is lit."""
    name, _, region = where.partition(":")
    rows = s.job.flow.drawings[name].rows
    return all(row.strip() in s.text for row in rows) and f"▸ {region.replace('-', ' ')}" in s.text


async def test_the_closeup_stands_beside_the_words_and_one_key_shows_the_whole_machine(tmp_path):
    """At 80 columns one is in sight; Tab, at the foot by what it brings, changes it for the other and back."""
    async with at(tmp_path, NARROW, "foot-nuts.nuts") as s:
        assert drawn(s, "foot:lock-nut") and not drawn(s, "feet:feet") and "Tab whole" in s.text
        await s.press("tab")
        assert drawn(s, "feet:feet") and not drawn(s, "foot:lock-nut") and "Tab close-up" in s.text
        assert "Try the lock nut" in s.text and "Rubber worn" in s.text
        await s.press("tab")
        assert drawn(s, "foot:lock-nut") and not drawn(s, "feet:feet") and "Tab whole" in s.text


async def test_at_120_columns_the_close_up_stands_beside_map_and_words(tmp_path):
    """The ranking below it; Tab changes it for the whole machine and back, the rest stays."""
    async with at(tmp_path, WIDE, "foot-nuts.nuts") as s:
        assert drawn(s, "foot:lock-nut") and not drawn(s, "feet:feet") and "Tab whole" in s.text
        for _ in range(2):
            assert "Try the lock nut" in s.text and "What the answers say so far" in s.text
            assert "▸ … Lock nuts" in s.part("#map-column")
            await s.press("tab")
        assert drawn(s, "foot:lock-nut") and not drawn(s, "feet:feet")


async def test_between_the_two_a_wide_screen_shows_both_and_needs_no_key(tmp_path):
    """Where map, words, close-up and whole machine have room side by side, or one over the other."""
    async with at(tmp_path, (160, 44), "foot-nuts.nuts") as s:
        assert drawn(s, "foot:lock-nut") and drawn(s, "feet:feet") and "Tab " not in s.text
        before = s.text
        await s.press("tab")
        assert s.text == before


async def test_a_large_screen_shows_one_over_the_other(tmp_path):
    """At 200x60 there is room below the close-up, so the words keep their width."""
    async with at(tmp_path, (200, 60), "foot-nuts.nuts") as s:
        lines = s.text.splitlines()
        near = next(n for n, line in enumerate(lines) if "▸ lock nut" in line)
        whole = next(n for n, line in enumerate(lines) if "▸ feet" in line)
        assert drawn(s, "foot:lock-nut") and drawn(s, "feet:feet") and whole > near + 10


async def test_where_none_fits_beside_one_key_shows_both_in_place_of_the_words(tmp_path):
    """Warnings go first at 80 columns; Tab shows close-up and whole machine together, Tab again the words."""
    async with at(tmp_path, NARROW, "rods.slide", kind="top-hung") as s:
        assert "Unload one rod" in s.text and "Tab drawing" in s.text and not drawn(s, "rod:rod")
        await s.press("tab")
        assert drawn(s, "rod:rod") and drawn(s, "top-hung:rods") and "Unload one rod" not in s.text
        await s.press("tab")
        assert "Unload one rod" in s.text and not drawn(s, "rod:rod")


async def test_a_wide_table_leaves_room_for_one(tmp_path):
    """At 120 columns a table of repeats takes the place of the second drawing, which stays on Tab."""
    async with at(tmp_path, WIDE, "rods.slide", kind="top-hung") as s:
        assert drawn(s, "rod:rod") and not drawn(s, "top-hung:rods") and "Tab whole" in s.text
        await s.press("tab")
        assert drawn(s, "top-hung:rods") and not drawn(s, "rod:rod") and "Tab close-up" in s.text
        await s.press("tab")
        assert drawn(s, "rod:rod")


@pytest.mark.parametrize("size", SIZES)
async def test_a_picture_of_readings_comes_with_the_first_of_them(tmp_path, size):
    """Until then the close-up shows where the dial goes; then * changes between the two, and Tab has the machine."""
    async with at(tmp_path, size, "spider.angles", kind="front-loader") as s:
        assert drawn(s, "rim:dial") and "* rim" in s.text
        await s.type("1")
        assert not drawn(s, "rim:dial") and "range 0.00 mm" in s.text and "* drawing" in s.text
        await s.press("asterisk")
        assert drawn(s, "rim:dial") and "range 0.00 mm" not in s.text
        await s.press("asterisk")
        assert "range 0.00 mm" in s.text and "Tab whole" in s.text
        await s.press("tab")
        assert drawn(s, "front-loader:drum") and "range 0.00 mm" not in s.text
        await s.press("asterisk")
        assert "range 0.00 mm" in s.text


async def test_the_next_step_begins_with_its_own_closeup(tmp_path):
    """The whole machine was looked at in the step before; the new part is shown from close by again."""
    async with at(tmp_path, NARROW, "feet.rock") as s:
        await s.press("tab")
        assert drawn(s, "feet:feet")
        s.job.come_to("foot-nuts", "nuts")
        await s.show()
        assert not drawn(s, "feet:feet") and drawn(s, "foot:lock-nut")


@pytest.mark.parametrize("size", SIZES)
async def test_a_terminal_without_line_characters_has_the_plain_form(tmp_path, monkeypatch, size):
    """In the C locale the close-up and the whole machine are drawn in ASCII, and what is lit is named all the same."""
    monkeypatch.setenv("LC_ALL", "C")
    async with at(tmp_path, size, "foot-nuts.nuts") as s:
        near, whole = (s.job.flow.drawings[name].plain for name in ("foot", "feet"))
        assert all(row.strip() in s.text for row in near) and "> lock nut" in s.text
        await s.press("tab")
        assert all(row.strip() in s.text for row in whole) and "> feet" in s.text
