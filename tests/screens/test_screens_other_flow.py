"""The screens know no complaint: a job on the second flow, from the choice of it to its first screens."""

from __future__ import annotations

import pytest
from stage import SIZES, HandClock, Stage, StageJob, screen_text

from wizard.engine import commands as c
from wizard.engine.store import Store
from wizard.flow.load import load
from wizard.flow.shipped import shipped
from wizard.screens.app import SteadfootApp

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
async def test_its_steps_bars_and_drawings_are_shown(tmp_path, size) -> None:
    """The map says what is barred in the flow's own words; a measured step has its unit, limit and drawing."""
    clock = HandClock()
    store = Store(tmp_path, clock)
    flow = load(FOLDER)
    app = SteadfootApp(store, shipped)
    async with app.run_test(size=size) as pilot:
        job = StageJob(store, clock, flow, FOLDER)
        job.arrive({fact.id: fact.usual or "-" for fact in flow.facts}, "Water stays in it.")
        on = Stage(app, pilot, job, clock)
        app.take(job.opened)
        await on.settle()
        assert flow.bars["unseen"].says in " ".join(screen_text(app).split())
        job.do(c.Open("hose", "height"))
        await on.show()
        text = on.text
        assert "Drain hose and house drain" in text and "mm" in text and "NOT ISOLATED" in text.upper()
        assert "back of" in text
