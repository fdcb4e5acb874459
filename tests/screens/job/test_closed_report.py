"""The report of a closed job by one key: written into the home's folder of reports, and the screen says where."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import GOOD
from tests.helpers.stage import Stage
from tests.helpers.stored_sessions import SESSION, home_at
from wizard.documents.report import shop_details
from wizard.screens.launch.app import SteadfootApp


@pytest.fixture
def store(tmp_path):
    return home_at(tmp_path)


async def pressed(store, *keys):
    """What stands on the screen of the closed job after some keys, on one line."""
    app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
    async with app.run_test(size=(80, 24)) as pilot:
        on = Stage(app, pilot, None, store.clock)
        await on.settle()
        await on.press("down", "enter")
        assert on.name == "ClosedScreen"
        await on.press(*keys)
        return "".join(on.text.split())


async def test_one_key_writes_the_report_and_the_screen_says_where(store):
    """No file of the session is touched; a second time the same bytes are written."""
    folder = store.home.session_folder(SESSION)
    before = {p.name: p.stat().st_mtime_ns for p in folder.rglob("*") if p.suffix != ".lock"}
    assert "rreport" in await pressed(store)
    text = await pressed(store, "r")
    written = store.home.reports / f"{SESSION}.html"
    assert "Thereportisin" in text and f"{SESSION}.html" in text
    first = written.read_bytes()
    assert first.startswith(b"<!doctype html>") and b"The plug" in first
    assert {p.name: p.stat().st_mtime_ns for p in folder.rglob("*") if p.suffix != ".lock"} == before
    await pressed(store, "r")
    assert written.read_bytes() == first


async def test_a_shops_file_that_can_not_be_read_is_said_and_the_job_goes_on(store):
    """In one sentence with the key and the nearest right one; nothing is written."""
    (store.root / shop_details.NAME).write_text('telefone = "1"\n', encoding="utf-8")
    text = await pressed(store, "r")
    assert "telefone" in text and "Didyoumeantelephone?" in text
    assert not store.home.reports.exists()
