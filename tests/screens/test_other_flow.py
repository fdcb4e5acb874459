"""The screens know no complaint: a job on the second flow, from the choice of it to its first screens."""

from __future__ import annotations

import pytest

from tests.helpers.stage import SIZES, HandClock, Stage, StageJob, screen_text
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.viewmodels.job_map.map_rows import rows
from wizard.sessions.session_store import Store

FOLDER = shipped()["washer-no-drain"]


@pytest.mark.parametrize("size", SIZES)
async def test_a_new_job_asks_which_flow(tmp_path, size) -> None:
    """Where there are several flows, each is offered by its title on a digit."""
    clock = HandClock()
    app = SteadfootApp(Store(tmp_path, clock), shipped)
    async with app.run_test(size=size) as pilot:
        on = Stage(app, pilot, None, clock)
        await on.settle()
        await on.press("n")
        assert "Which job?" in on.text
        for folder in shipped().values():
            assert load(folder).title in on.text


@pytest.mark.parametrize("size", SIZES)
async def test_its_steps_and_drawings_are_shown(tmp_path, size) -> None:
    """The map says what is asked first; a measured step has its unit, limit and drawing."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    flow = load(FOLDER)
    app = SteadfootApp(store, shipped)
    async with app.run_test(size=size) as pilot:
        job = StageJob(store, clock, flow, FOLDER)
        job.arrive({fact.id: fact.usual or "-" for fact in flow.facts}, "Water stays in it.")
        on = Stage(app, pilot, job, clock)
        app.host.take(job.opened)
        await on.settle()
        row = next(r for r in rows(job.view) if r.first)
        assert f"+{row.way:>3.0f} min" in screen_text(app)
        job.come_to("hose", "height")
        await on.show()
        text = on.text
        assert "Drain hose and house drain" in text and "mm" in text and ("POWER" in text or "SUPPLY" in text)
        assert "back of" in text
