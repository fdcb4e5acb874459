"""The job map, by keys, at both sizes."""

import re

import pytest
from textual import events

from tests.engine.safety.stop_ways import left
from tests.helpers.stage import SIZES, stage
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries, proof_queries
from wizard.screens.viewmodels.job_map.map_rows import MapMark, rows
from wizard.screens.widgets.frame.message_line import MessageLine

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


async def test_map_shows_all_parts_and_the_way_to_them(tmp_path, size):
    """Every inspection with how it stands, its minutes and those of what is asked first; the mark on the first."""
    async with stage(tmp_path, size) as on:
        assert on.name == "JobMapScreen"
        assert "▸ o Quick checks" in on.text
        row = next(r for r in rows(on.job.view) if r.target == "dampers")
        assert re.search(rf"o Dampers +open +20 min \+ *{row.way:.0f} min", on.text)
        assert "SUPPLY NOT KNOWN" in on.text


async def test_enter_opens_the_marked_part(tmp_path, size):
    """The first row needs no gate: its first question comes."""
    async with stage(tmp_path, size) as on:
        await on.press("enter")
        assert on.name == "QuestionScreen"
        assert on.job.at == "quick.bolts" or on.job.at.startswith("quick.")


async def test_a_part_that_needs_more_has_that_asked_first(tmp_path, size):
    """Dampers need hands behind a panel: what is asked is named and counted, then its first question comes."""
    async with stage(tmp_path, size) as on:
        await on.press("down")
        said = on.part("#map-detail")
        assert "First (" in said and "Before anything is touched" in said and said.endswith(".")
        await on.press("enter")
        assert on.job.at == "before.danger" and on.job.state.run.only
        assert "asked first" in on.text and "Gas, for: Dampers" in on.text


async def test_m_leads_back_and_the_mark_is_on_what_comes_next(tmp_path, size):
    """From a question to the map; what was begun is next."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "m")
        assert on.name == "JobMapScreen"
        assert on.job.at == "map"
        assert "▸ … Quick checks" in on.text and "begun" in on.text


async def test_under_a_stop_nothing_is_decided_and_the_line_says_why(tmp_path, size):
    """Gas was smelt on an earlier visit: d leads nowhere, no fault is offered, and the line says what comes first."""

    def gas(job):
        job.do(c.StopWork("gas"))
        left(job)
        job.do(c.BeginVisit("S. Ash"))

    async with stage(tmp_path, size, prepare=gas) as on:
        await on.press("d")
        said = " ".join(on.text.split())
        assert on.name == "JobMapScreen" and "No fault" not in said
        assert "Work was stopped: Gas is smelt." in said and "asked anew first" in said
        (row,) = (row for row in rows(on.job.view) if row.kind is NextKind.DECIDE)
        assert row.mark is MapMark.BARRED


async def test_leaving_out_asks_why_and_says_so(tmp_path, size):
    """x asks for the reason; Esc changes nothing; the row then has the reason."""
    async with stage(tmp_path, size) as on:
        await on.press("x")
        assert on.name == "PickReason" and "leave it out: Quick checks" in on.text
        await on.press("escape")
        assert on.job.state.skipped == {}
        await on.press("x")
        await on.type("no key to the room")
        assert on.job.state.skipped == {"quick": ("skipped", "no key to the room")}
        await on.press("up")
        assert "left out" in on.text and "no key to the room." in on.text


def marked(on):
    """The title of the marked row."""
    return next(line for line in on.part("#map-rows").splitlines() if line.startswith("▸"))[4:24].strip()


async def test_the_mark_goes_to_what_is_advised_once_its_row_is_left_out(tmp_path, size):
    """Enter then takes that, and opens nothing that was left out."""
    async with stage(tmp_path, size) as on:
        advised = marked(on)
        await on.press("down")
        assert marked(on) == "Dampers" != advised
        await on.press("x", "escape")
        assert marked(on) == "Dampers"
        await on.press("x", "1")
        assert on.job.state.skipped["dampers"][0] == "skipped" and marked(on) == advised
        await on.press("enter")
        assert "dampers" in on.job.state.skipped and on.job.at.startswith("quick.")


async def test_the_mark_stays_on_a_part_that_was_opened_and_left(tmp_path, size):
    """As after any other act; once that part is done it goes to what is advised."""
    async with stage(tmp_path, size) as on:
        await on.press("down", "enter", "m")
        assert marked(on) == "Dampers"
        await on.press("up", "enter")
        on.job.clock.move(60)
        while on.job.state.run is not None:
            on.job.answer()
        await on.show()
        assert on.name == "JobMapScreen" and marked(on) != "Quick checks"


async def test_undo_on_the_map_says_what_was_left_out_last(tmp_path, size):
    """Nothing older is taken back in its place."""
    async with stage(tmp_path, size, prepare=lambda job: job.through("quick")) as on:
        await on.press("home", "down", "x", "1", "u")
        assert on.name == "JobMapScreen" and on.job.state.run is None
        assert "The last act left out: Dampers. Open it, and it is no longer left out." in " ".join(
            on.part("#message").split()
        )


async def test_a_reason_typed_faster_than_the_screen_draws_is_kept_whole(tmp_path, size):
    """All its keys wait at once, Enter behind them, as a busy machine has them; none is lost or taken as a pick."""
    async with stage(tmp_path, size) as on:
        await on.press("x")
        on.clock.move(1.0)
        for character in "No time 4 it.":
            on.app.post_message(events.Key(character, character))
        on.app.post_message(events.Key("enter", "\r"))
        await on.pilot.pause()
        assert on.job.state.skipped == {"quick": ("skipped", "No time 4 it.")}


async def test_only_inspections_are_left_out(tmp_path, size):
    """The decision's row can't be left out, and it says so."""
    async with stage(tmp_path, size) as on:
        await on.press("down", "down", "down", "x")
        assert "Only an inspection can be left out." in on.text
        assert on.name == "JobMapScreen"


async def test_the_end_is_never_left_out(tmp_path, size):
    """The engine refuses that, and its sentence is on the message line."""
    async with stage(tmp_path, size) as on:
        await on.press(*["down"] * 6, "x")
        await on.type("in a hurry")
        assert "never left out" in on.text
        assert on.job.state.skipped == {}


async def test_what_is_not_for_this_machine_says_why(tmp_path, size):
    """A top loader's dampers are folded away with their number; o shows them, and why; they can't be opened."""
    async with stage(tmp_path, size, facts={"kind": "top-loader"}) as on:
        assert "- 1 part not for this machine" in on.text and "Dampers" not in on.text
        await on.press("o")
        assert "Dampers" in on.text and "▸ - 1 part" in on.text
        await on.press("down", "enter")
        why = on.job.flow.inspections["dampers"].absent
        assert (
            on.name == "JobMapScreen"
            and on.job.at == "map"
            and why in " ".join(on.part("#map-beside").split())
        )
        await on.press("up", "enter")
        assert "Dampers" not in on.text and "▸ - 1 part" in on.text


async def test_close_is_refused_until_all_is_done(tmp_path, size):
    """The last row stays shut while anything is open, and says what comes first."""
    async with stage(tmp_path, size) as on:
        await on.press(*["down"] * 9, "enter")
        assert on.name == "JobMapScreen"
        assert "Not everything is done: Quick checks." in " ".join(on.text.split())


async def test_what_keeps_the_repair_from_being_proved_is_in_sight(tmp_path, size):
    """In a sentence, and whole."""
    async with stage(tmp_path, size, prepare=lambda job: job.through("quick", "yes")) as on:
        said = " ".join(on.text.split())
        assert "No proof now. Transit bolts: in (since" in said
        assert proof_queries.proof_barred(on.job.view) in said


async def test_why_a_part_can_t_be_done_now_is_whole(tmp_path, size):
    """On its row as on the message line, at any width: nothing of the sentence is cut."""

    def prepare(job):
        job.do(c.StopWork("scorched"))
        for line in range(len(job.flow.stops["scorched"].make_safe)):
            job.do(c.MakeSafe("scorched", line))
        job.do(c.BeginVisit("R. Vale"))

    async with stage(tmp_path, size, prepare=prepare) as on:
        why = next_queries.open_barred(on.job.view, "dampers")
        assert len(why) > 80 and why not in " ".join(on.part("#map-detail").split())
        await on.press("down", "down")
        assert why in " ".join(on.part("#map-detail").split())
        await on.press("enter")
        assert on.app.screen.query_one(MessageLine).says == why and on.job.state.run is None
        assert why in " ".join(on.part("#map-detail").split()) and why in " ".join(
            on.part("#message").split()
        )


async def test_a_jump_by_the_map_leads_past_nothing_that_a_part_needs(tmp_path, size):
    """Begun, left for a part that undoes what it needs, and come back to: that is asked again before it goes on."""

    def prepare(job):
        job.come_to("dampers", "bounce")
        job.do(c.Leave())
        job.do(c.OpenInspection("spin"))
        while job.state.belief["supply"].values != {"live"}:
            job.answer()
        job.do(c.Leave())

    async with stage(tmp_path, size, prepare=prepare) as on:
        assert "POWER ON" in on.text
        await on.press("down", "enter")
        asked = await on.asked()
        assert "power.plug" in asked and "power.try" in asked and on.job.at == "dampers.bounce"
        assert on.job.believed("supply") == {"held"}


async def test_early_enter_opens_nothing(tmp_path, size):
    """An Enter that arrives within 250 ms of the map being shown is not meant for it."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "m")
        await on.pilot.press("enter")
        await on.settle()
        assert on.job.at == "map"


async def test_d_goes_to_the_decision_at_any_time(tmp_path, size):
    """Deciding needs nothing done before."""
    async with stage(tmp_path, size) as on:
        await on.press("d")
        assert on.name == "DecisionScreen"
        await on.press("m")
        assert on.name == "JobMapScreen"


async def test_f_shows_what_was_found(tmp_path, size):
    """The record so far, read and left again."""

    def prepare(job):
        job.through("quick")

    async with stage(tmp_path, size, prepare=prepare) as on:
        await on.press("f")
        assert on.name == "FoundPanel"
        assert "Work, step by step" in on.text
        await on.press("escape")
        assert on.name == "JobMapScreen"


async def test_map_has_help(tmp_path, size):
    """F1 says what the map is for and which keys work."""
    async with stage(tmp_path, size) as on:
        await on.press("f1")
        assert "Help: The job map" in on.text and "leave this inspection out" in on.text.lower()
