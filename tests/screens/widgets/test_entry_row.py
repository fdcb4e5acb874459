"""The row of one number, in a program of its own."""

import pytest
from textual.app import App

from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.screens.layout.themes import DARK
from wizard.screens.viewmodels.reading.step_readings import step_readings
from wizard.screens.viewmodels.step.current_step import current_step
from wizard.screens.widgets.entry.field import EntryField
from wizard.screens.widgets.readings.entry_row import EntryRow


class OneRow(App[None]):
    """Nothing but the row; what is submitted is kept."""

    def __init__(self):
        super().__init__()
        self.register_theme(DARK)
        self.theme = DARK.name
        self.given = []

    def compose(self):
        yield EntryRow()

    def on_input_submitted(self, event):
        self.given.append(event.value)


@pytest.fixture
def job():
    found = Job()
    found.do(c.OpenInspection("dampers"))
    while found.at != "dampers.pull":
        found.answer()
    return found


def readings(job):
    return step_readings(current_step(job.view), "metric")


def words(app):
    """What stands before the field."""
    return app.query_one("#slot").render().plain


async def test_it_asks_for_a_number_and_begins_its_field_with_the_draft(job):
    """The draft once: what is typed meanwhile stays when the same number is asked again."""
    app = OneRow()
    async with app.run_test() as pilot:
        row = app.query_one(EntryRow)
        row.show(readings(job), lambda: "5")
        await pilot.pause()
        assert words(app) == "damper 1, out · 1 of 3  " and row.typed == "5"
        await pilot.press("7")
        row.show(readings(job), lambda: "9")
        assert row.typed == "57"
        await pilot.press("enter")
        assert app.given == ["57"]


async def test_what_was_sent_is_cleared_for_the_next_number_and_what_was_typed_behind_it_stays(job):
    """No half of a number is lost."""
    app = OneRow()
    async with app.run_test():
        row = app.query_one(EntryRow)
        row.show(readings(job), lambda: "")
        row.put("606")
        row.sent = "60"
        job.do(readings(job).take("60"))
        row.show(readings(job), lambda: "")
        assert row.typed == "6"
        row.clear()
        assert row.typed == ""


async def test_once_all_are_there_it_shows_the_verdict_and_has_no_field(job):
    """A focus that comes late is given up."""
    job.read(60)
    app = OneRow()
    async with app.run_test() as pilot:
        row = app.query_one(EntryRow)
        row.show(readings(job), lambda: "")
        assert words(app).startswith(" Enter ") and words(app).endswith("pass: go on")
        assert not app.query_one(EntryField).display
        app.screen.set_focus(app.query_one(EntryField))
        await pilot.pause()
        assert app.focused is None
