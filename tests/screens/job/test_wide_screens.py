"""Screens that grow: what stands beside what at 80, 120 and 200 columns, and that nothing is cut that has room."""

from contextlib import asynccontextmanager
from dataclasses import replace
from itertools import pairwise

import pytest

from tests.helpers.flows.flow_edits import edited
from tests.helpers.jobs import Job
from tests.helpers.stage import stage
from tests.screens.job.test_closeups import at
from wizard.domain.vocabulary import NextKind, RepairOutcome
from wizard.engine.messages import commands as c
from wizard.engine.state.job_view import JobView
from wizard.screens.text.reason_choices import LEFT_OUT, UNABLE
from wizard.screens.viewmodels.faults.remedy_words import remedy_words
from wizard.screens.viewmodels.job_map.column_rows import column_rows, places
from wizard.screens.viewmodels.job_map.map_rows import rows
from wizard.screens.widgets.faults.ranking_box import RankingBox
from wizard.screens.widgets.job_map.map_column import MapColumn
from wizard.screens.widgets.pictures.drawing_pair import DrawingPair
from wizard.screens.widgets.readings.readings_table import lines_of

SIZES = ((80, 24), (120, 36), (200, 60))
WIDE = SIZES[1:]
NAMES = ["80x24", "120x36", "200x60"]


def pulled(job):
    """At the dampers, one of them read."""
    job.come_to_pull()
    job.read(18)


def repaired(job):
    """Dampers found worn and fitted; to be measured again."""
    job.find_worn()
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(("dampers-worn",)))
    job.fit("dampers-worn")
    job.until(NextKind.RECHECK)


def source(on):
    """Where the limit of the step on screen comes from."""
    return on.job.flow.limits[on.app.screen.current.step.limit][0].source


@pytest.mark.parametrize("size", WIDE, ids=NAMES[1:])
async def test_map_step_and_evidence_stand_side_by_side(tmp_path, size):
    """At a step whose table is wide, too: three columns, none over another, the words and their table whole."""
    async with stage(tmp_path, size, prepare=pulled) as on:
        screen = on.app.screen
        columns = [screen.query_one(x).region for x in ("#map-column", "#left", "#side")]
        assert [column.width > 0 for column in columns] == [True] * 3
        assert all(a.right <= b.x for a, b in pairwise(columns))
        assert columns[-1].right <= size[0] and screen.query_one(RankingBox).display
        assert screen.query_one(DrawingPair).region.right <= size[0]
        said = " ".join(on.part("#left").split())
        assert " ".join(screen.current.step.do.split()) in said
        table = on.part("#repeats").splitlines()
        assert len(table) == lines_of(screen.readings.reading, on.job.state.facts) and "✗ fail" in table[1]
        assert "▸ … Dampers" in on.part("#map-column")
        assert source(on) in " ".join(on.part("#ruler").split())


async def test_at_80_columns_the_words_have_the_width_and_the_source_is_whole(tmp_path):
    """No map beside them; the limit's source stands whole below the ruler all the same."""
    async with stage(tmp_path, SIZES[0], prepare=pulled) as on:
        assert not on.app.screen.query_one(MapColumn).display and "Job map" not in on.text
        assert source(on) in " ".join(on.part("#ruler").split())


@pytest.mark.parametrize("size", SIZES, ids=NAMES)
async def test_map_and_decision_have_no_gap_and_cut_no_name(tmp_path, size):
    """Each title and each fault stands whole, and how it stands close behind it."""
    async with stage(tmp_path, size, prepare=lambda job: (job.come_to_pull(), job.measure(18))) as on:
        await on.press("m")
        listed = on.part("#map-rows")
        assert "…" not in listed.replace("… ", "") and "open  " in listed
        assert all(len(line.split("open")[0]) < 60 for line in listed.splitlines() if "open" in line)
        beside = on.app.screen.query_one("#map-beside").region
        assert (beside.x > 40) == (size[0] >= 120)
        await on.press("d")
        shown = " ".join(on.part("#decision-rows").split())
        assert all(row.says in shown for row in on.app.screen.choice.rows)
        assert (on.app.screen.query_one("#decision-why").region.x > 40) == (size[0] >= 120)


def test_the_narrow_map_folds_before_it_leaves_anything_out():
    """In any room: the one in hand is there, all rows are counted, no title is cut, no line is too long."""
    job = Job()
    job.come_to_pull()
    found, in_hand = places(job.view)
    assert in_hand == "dampers"
    assert [row.place for row in found] == [row.place for row in rows(job.view)]
    for width in (21, 40):
        for room in (4, 7, 12, 40):
            shown = column_rows(found, in_hand, width, room)
            lines = [line for row in shown for line in row.lines]
            assert len(lines) <= room and max(map(len, lines)) <= width - 4
            assert [" ".join(row.lines) for row in shown if row.here] == ["Dampers"]


async def test_an_earlier_reading_stands_on_the_ruler_when_it_is_measured_again(tmp_path):
    """After the repair: its sign and its words under the ruler before anything is read, and beside the new reading."""
    async with stage(tmp_path, SIZES[1], prepare=repaired) as on:
        await on.press("enter")
        await on.asked()
        while on.name != "ReadingScreen":
            await on.usual()
        assert "○ earlier: damper 1, out  18" in on.part("#ruler") and "✗ fail" in on.part("#ruler")
        await on.type("60")
        assert "○ earlier: damper 1" in on.part("#ruler") and "▲" in on.part("#ruler")


@asynccontextmanager
async def weak(tmp_path, size):
    """The shipped flow with two weak dampers found, and their repair next."""
    async with at(tmp_path, size, "dampers.pull", dampers="2") as on:
        job = on.job
        job.measure(24)
        job.do(c.Confirm(("dampers-worn",), "seen"))
        job.do(c.Prepare("dampers-worn"))
        job.asked()
        await on.show()
        yield on


def changed(job):
    """The dampers are new, and pulled again."""
    kind = job.flow.faults["dampers-worn"].remedy.alternatives[0].id
    job.do(c.RecordRepair("dampers-worn", RepairOutcome.FITTED, reason="seen", alternative=kind))
    job.come_to("dampers", "pull")


async def test_the_source_stands_whole_beside_an_earlier_and_a_new_reading(tmp_path):
    """At 80 by 24 too: an empty line goes before a word of it does."""
    async with weak(tmp_path, SIZES[0]) as on:
        changed(on.job)
        await on.show()
        for value in ("120", "121", "101"):
            await on.type(value)
            shown = " ".join(on.part("#ruler").split())
            assert "○ earlier: damper" in shown and on.app.screen.readings.current.limit.source in shown


async def test_the_ranking_names_what_it_shows_after_the_window_grew_smaller(tmp_path):
    """From 200 by 60 to 120 by 36: each bar has its fault below it."""
    async with weak(tmp_path, SIZES[2]) as on:
        changed(on.job)
        await on.show()
        await on.pilot.resize_terminal(*SIZES[1])
        await on.settle()
        lines = [line.strip() for line in on.part("#standing").splitlines()]
        bars = [n for n, line in enumerate(lines) if " % " in line]
        assert bars and all(lines[n + 1] and " % " not in lines[n + 1] for n in bars)
        assert lines[-1].startswith("and ") and lines[-1].endswith(" more, each less likely")


@pytest.mark.parametrize("says", ["", " and a long name that no line beside the box has room for"])
async def test_the_fault_that_a_repair_is_for_is_named_whole(tmp_path, says):
    """Beside the box, or over the text where there is no room for it."""
    async with weak(tmp_path, SIZES[0]) as on:
        fault = on.job.flow.faults["dampers-worn"]
        named = replace(fault, says=f"{fault.says}{says}")
        flow = edited(on.job.flow, faults={**on.job.flow.faults, fault.id: named})
        on.job.session.view = JobView.of(flow, on.job.state)
        await on.show()
        assert f"for: {named.says}" in " ".join(on.text.split())


@pytest.mark.parametrize("size", SIZES, ids=NAMES)
async def test_a_repair_stands_between_map_and_ranking_on_a_wide_screen(tmp_path, size):
    """From 120 columns on, none over another, its row in hand; its words and answers are whole all the same."""
    async with weak(tmp_path, size) as on:
        screen = on.app.screen
        fault = on.job.flow.faults["dampers-worn"]
        wide = size[0] >= 120
        assert [screen.query_one(x).display for x in ("#map-column", "#standing")] == [wide, wide]
        said = " ".join(on.part("#mending-words").split())
        assert "Parts on order: leave the machine safe and marked" in said
        if wide:
            columns = [screen.query_one(x).region for x in ("#map-column", "#mending-words", "#standing")]
            assert all(a.right <= b.x for a, b in pairwise(columns)) and columns[-1].right <= size[0]
            assert "▸ o New dampers" in on.part("#map-column") and " % " in on.part("#standing")
            assert remedy_words(on.job.view, fault, True).acts[0] in said


async def test_a_reason_is_picked_by_its_digit_or_written(tmp_path):
    """Its words are the reason in the record; the last digit leads to the field, where a digit is text."""
    async with stage(tmp_path) as on:
        await on.press("x", "2")
        assert on.job.state.skipped["quick"] == ("skipped", LEFT_OUT[1])
        await on.press("home", "down", "x", "9")
        assert f"There is no 9 here: press 1-{len(LEFT_OUT) + 1}." in on.text
        await on.press(str(len(LEFT_OUT) + 1))
        await on.type("3 panels are glued")
        assert on.job.state.skipped["dampers"] == ("skipped", "3 panels are glued")


async def test_a_step_that_can_t_be_done_has_its_reasons(tmp_path):
    """By digit, too; the question names the step."""
    async with stage(tmp_path, prepare=pulled) as on:
        do = on.app.screen.current.step.do
        await on.press("f4", "1")
        assert do.split(".")[0] in " ".join(on.text.split())
        await on.press("1")
        assert any(UNABLE[0] in given.reason for given in on.job.state.answer_records)


async def test_the_mark_of_the_map_stays_where_it_was_after_a_note(tmp_path):
    """Moved to another row, a note written: it stands there still."""
    async with stage(tmp_path) as on:
        await on.press("down", "down", "n")
        await on.type("hears it too")
        assert on.name == "JobMapScreen" and "▸ o Motor wiring" in on.text
