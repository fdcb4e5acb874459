"""Advice and explanation in sight: on the map, on their own sheets, beside the step, at the decision; by keys."""

import threading
import time
from dataclasses import replace

import pytest

from tests.helpers.jobs import good
from tests.helpers.stage import SIZES, stage
from tests.screens.job.test_decision_screen import to_decision
from wizard.domain.vocabulary import Lead, NextKind
from wizard.engine.guidance.advice_candidates import advice
from wizard.engine.guidance.advice_order import follow
from wizard.engine.messages import commands as c
from wizard.engine.queries.next_queries import next_up
from wizard.screens.viewmodels.faults import advice_rows as model
from wizard.screens.viewmodels.job_map.map_rows import MapMark, MapRow
from wizard.screens.widgets.faults.advice_line import AdviceLine
from wizard.screens.widgets.faults.ranking_box import RankingBox
from wizard.screens.widgets.job_map.map_line import map_lines

both = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def advised(job):
    """What comes next by the advice."""
    return follow(job.view, advice(job.view))


def only_dampers(job):
    """Only the quick checks done, nothing found."""
    job.through("quick")


@both
async def test_map_says_what_is_advised_and_why(tmp_path, size):
    """One sentence on the map, with the key that follows it; the mark stays on the flow's own next part."""
    async with stage(tmp_path, size, prepare=only_dampers) as on:
        shown = " ".join(on.part("#map-advice").split())
        assert (
            f"g Advised{', and next in order' if on.app.screen.query_one(AdviceLine).ahead.usual else ''}:"
            in shown
        )
        assert advised(on.job).why in shown
        assert "g other way" in on.text and "a advice" in on.text


@both
async def test_g_follows_the_advice_by_what_it_needs(tmp_path, size):
    """One key opens what is advised: what it needs is asked first."""
    async with stage(tmp_path, size, prepare=only_dampers) as on:
        wanted = advised(on.job)
        await on.press("down", "down", "down", "g")
        opened = on.job.state.find_run(on.job.state.stack[0])
        assert opened.inspection == wanted.target
        assert on.job.state.run.only and on.job.at.startswith("before.")


@both
async def test_where_the_order_leads_enter_follows_it(tmp_path, size):
    """The mark is on what the flow asks next, whatever is advised."""
    async with stage(tmp_path, size) as on:
        await on.press("enter")
        assert on.job.at.startswith("quick.")


@both
async def test_where_the_evidence_leads_enter_follows_the_advice_and_g_the_order(tmp_path, size):
    """The mark stands on what is advised; the flow's own next part is named, a key away."""
    flow = replace(good(), lead=Lead.EVIDENCE, find=("motor", "quick", "dampers"))
    async with stage(tmp_path, size, flow=flow) as on:
        led, order = advised(on.job), next_up(on.job.view)
        assert led.target != order.target
        rows = on.app.screen._rows
        assert [row.target for row in rows if row.now] == [led.target]
        assert rows[on.app.screen.query_one("#map-rows").index].target == led.target
        shown = " ".join(on.part("#map-advice").split())
        assert (
            led.why in shown and f" g In the flow's order: {flow.inspections[order.target].title}." in shown
        )
        await on.press("g")
        assert on.job.state.find_run(on.job.state.stack[0]).inspection == order.target
        on.job.do(c.Leave())
        await on.show()
        await on.press("enter")
        assert on.job.state.find_run(on.job.state.stack[0]).inspection == led.target


async def test_a_mark_that_was_moved_stays_when_the_advice_comes(tmp_path):
    """Whoever chose another part keeps it; Enter opens that one."""
    async with stage(tmp_path, flow=replace(good(), lead=Lead.EVIDENCE)) as on:
        await on.press("home")
        assert on.app.screen.query_one("#map-rows").index == 0
        on.app.screen.query_one(AdviceLine).post_message(AdviceLine.Weighed())
        await on.settle()
        assert on.app.screen.query_one("#map-rows").index == 0


@both
async def test_once_enough_is_known_g_goes_to_the_decision(tmp_path, size):
    """With everything looked at, the advice is to decide."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        assert "Advised: decide. Enough is known" in " ".join(on.text.split())
        await on.press("g")
        assert on.name == "DecisionScreen"


@both
async def test_after_the_decision_nothing_is_advised(tmp_path, size):
    """The line is gone, and g says that the flow's order goes on."""

    def decided(job):
        to_decision(job)
        job.do(c.Confirm(("dampers-worn",)))

    async with stage(tmp_path, size, prepare=decided) as on:
        assert "Advised" not in on.text
        await on.press("g")
        assert "Nothing is advised now" in on.text and on.name == "JobMapScreen"


@both
async def test_early_g_opens_nothing(tmp_path, size):
    """A key within 250 ms of the map being shown is not meant for it."""
    async with stage(tmp_path, size) as on:
        on.app.host.guard.arm()
        await on.pilot.press("g")
        await on.settle()
        assert on.job.at == "map"


async def test_advice_is_computed_off_the_screen_s_thread_and_blocks_no_key(tmp_path, monkeypatch):
    """While it is computed, keys work; a key that needs it says so, and it appears when it is there."""
    threads, let = [], threading.Event()
    let.set()
    true = model.advice

    def slow(view):
        threads.append(threading.get_ident())
        let.wait(20)
        return true(view)

    monkeypatch.setattr(model, "advice", slow)
    async with stage(tmp_path) as on:
        let.clear()
        on.job.do(c.Skip("motor", "no key"))
        on.app.host.show()
        began = time.monotonic()
        for key in ("down", "down", "g"):
            on.clock.move(1.0)
            await on.pilot.press(key)
        await on.pilot.pause()
        assert time.monotonic() - began < 3 and not let.is_set()
        assert on.app.screen.query_one("#map-rows").index == 2
        assert "still being weighed" in on.text and on.job.at == "map"
        let.set()
        await on.settle()
        assert "Advised" in on.text
    assert threads and threading.get_ident() not in threads


async def test_stale_advice_is_dropped(tmp_path):
    """What an overtaken thread brings for an earlier state is not shown."""
    async with stage(tmp_path) as on:
        line = on.app.screen.query_one(AdviceLine)
        old = line.ahead
        on.job.through("quick")
        await on.show()
        fresh = line.ahead
        assert fresh.seq == on.job.state.seq != old.seq
        line._take(old)
        assert line.ahead is fresh


@both
async def test_a_shows_every_open_inspection_with_minutes_saving_and_why(tmp_path, size):
    """Best first, what is asked first among the minutes; what a word says it is worth, one sentence why."""
    async with stage(tmp_path, size) as on:
        await on.press("a")
        assert on.name == "AdvicePanel"
        counsel = advice(on.job.view)
        shown = " ".join(on.text.split())
        assert counsel.says in shown and "None of it is ever left out." in shown
        rows = [
            next(
                n
                for n, x in enumerate(on.text.splitlines())
                if on.job.flow.inspections[k.id].title in x and "saves" in x
            )
            for k in counsel.inspections
        ]
        assert rows == sorted(rows)
        assert all(f"{k.minutes:.0f} min saves {k.saves:.0f}" in shown for k in counsel.inspections)
        assert next(k.why for k in counsel.inspections if k.id == advised(on.job).target) in shown


@both
async def test_marked_check_is_opened_from_the_sheet(tmp_path, size):
    """Enter on the map's sheet opens the marked one by what it needs; Esc changes nothing."""
    async with stage(tmp_path, size) as on:
        await on.press("a", "escape")
        assert on.job.at == "map" and on.name == "JobMapScreen"
        await on.press("a")
        place = next(n for n, r in enumerate(on.app.screen._rows) if r.inspection == "dampers")
        await on.press(*["up"] * 9, *["down"] * place, "enter")
        assert on.job.state.find_run(on.job.state.stack[0]).inspection == "dampers"
        assert on.job.state.run.only and on.job.at.startswith("before.")


@both
async def test_at_a_step_the_sheet_is_read_only(tmp_path, size):
    """a at a step shows it; Enter opens nothing and says how."""
    async with stage(tmp_path, size) as on:
        await on.press("enter", "a")
        assert on.name == "AdvicePanel"
        before = on.job.at
        await on.press("enter")
        assert "A step is on screen" in on.text and on.job.at == before
        await on.press("escape")
        assert on.name == "QuestionScreen"


@both
async def test_the_sheet_says_what_is_owed_before_a_part_is_fitted(tmp_path, size):
    """A fault all but decided whose test was not made: the test is named."""

    def found(job):
        job.come_to_pull()
        run, step = job.step()
        job.do(c.SayUnable(run.id, step.id, "no scale"))
        while job.state.run is not None:
            job.answer()

    async with stage(tmp_path, size, prepare=found) as on:
        counsel = advice(on.job.view)
        await on.press("a")
        shown = " ".join(on.text.split())
        assert counsel.owed == {"dampers-worn": ("dampers",)}
        assert "Before a part is fitted for Dampers worn: Dampers." in shown


@both
async def test_e_explains_the_marked_fault_with_weights(tmp_path, size):
    """For and against, each with what it does to the odds; moving the mark explains the next."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("e")
        assert on.name == "ExplainPanel"
        assert "Dampers worn: >99 %, decided" in on.text
        assert "+ x" in on.text and "A damper pulls weakly" in on.text
        assert "x8: this makes its odds 8 times as high" in on.text
        await on.press("down")
        assert "Motor wiring loose: 71 %" in on.text and "A motor plug is loose" in on.text
        await on.press("escape")
        assert on.name == "JobMapScreen"


@both
async def test_e_says_what_would_change_the_ranking_most(tmp_path, size):
    """Before anything was found: the finding that tells most, and who leads after either answer."""
    async with stage(tmp_path, size) as on:
        await on.press("e")
        assert "Would change most: " in on.text and "If so, " in on.text


async def test_beside_the_step_stands_why(tmp_path):
    """At 120 columns the likeliest fault's findings stand under the ranking, without a key."""
    async with stage(tmp_path, (120, 36), prepare=to_decision) as on:
        on.job.come_to("motor")
        await on.show()
        assert "What the answers say so far" in on.text and "Why Dampers worn" in on.text
        assert "A damper pulls weakly" in on.text


async def test_narrow_screens_have_the_step_alone(tmp_path):
    """At 80 columns neither ranking nor reasons take the step's room."""
    async with stage(tmp_path, (80, 24), prepare=to_decision) as on:
        on.job.come_to("motor")
        await on.show()
        assert "What the answers say" not in on.text and "Why Dampers" not in on.text


async def test_stale_ranking_beside_the_step_is_dropped(tmp_path):
    """What an overtaken thread brings for an earlier state is not shown."""
    async with stage(tmp_path, (120, 36)) as on:
        await on.press("enter")
        standing = on.app.screen.query_one(RankingBox)
        before = standing._found
        standing._take(on.job.state.seq - 1, (), None)
        assert standing._found == before


@both
async def test_decided_is_what_the_advice_calls_so(tmp_path, size):
    """A fault that leads far while a check is worth its minutes is 'likely', not 'decided'."""

    def half(job):
        job.through("quick", "yes")

    async with stage(tmp_path, size, prepare=half) as on:
        counsel = advice(on.job.view)
        await on.press("d")
        row = on.app.screen.choice.rows[0]
        assert row.decided == (row.fault in counsel.decided)
        words = {r.fault: r.decided for r in on.app.screen.choice.rows}
        assert {f for f, said in words.items() if said} == set(counsel.decided)
        assert on.text.count(" decided") == len(counsel.decided)


@both
async def test_decision_asks_what_stays_unexplained(tmp_path, size):
    """Dampers confirmed leave the loose plug open: it is asked, with the likeliest second fault; 3 goes back."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "1")
        shown = " ".join(on.part("#decision-why").split())
        assert "Not explained by it: A motor plug is loose." in shown
        assert "Likeliest second fault: Motor wiring loose, 71 %." in shown
        assert "Look at along with it: Look at the counterweights." in shown
        await on.press("enter")
        shown = " ".join(on.text.split())
        assert "What stays unexplained?" in shown and "Motor wiring loose, 71 %" in shown
        await on.press("2")
        assert on.name == "DecisionScreen" and on.job.state.decided is None
        assert "[x] Dampers worn" in on.text


@both
async def test_both_faults_ticked_leave_nothing_to_ask(tmp_path, size):
    """With the second fault ticked too, Enter confirms at once."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "1", "2")
        assert "Nothing that was seen stays unexplained." in on.text
        await on.press("enter")
        assert set(on.job.state.decided) == {"dampers-worn", "wiring"}


@both
async def test_with_nothing_ticked_the_decision_says_where_things_stand(tmp_path, size):
    """Whether a check is still worth its minutes is said under the reasons."""
    async with stage(tmp_path, size) as on:
        await on.press("d")
        assert "A check is worth its minutes." in on.text
        await on.press("a")
        assert on.name == "AdvicePanel"


@both
@pytest.mark.parametrize("key", ["a", "e"])
async def test_sheets_have_help(tmp_path, size, key):
    """F1 says what the sheet is for."""
    async with stage(tmp_path, size) as on:
        await on.press(key, "f1")
        assert on.name == "HelpPanel" and "Help: W" in on.text


async def test_why_it_comes_next_stands_beside_its_row_where_there_is_room(tmp_path):
    """At 80x24 in a few words behind the marked row, whole, in one line; in a flow that the evidence leads."""
    led = replace(good(), lead=Lead.EVIDENCE)
    async with stage(tmp_path, (80, 24), prepare=only_dampers, flow=led) as on:
        row = next(line for line in on.text.splitlines() if line.startswith(" ▸"))
        assert row.rstrip().endswith("◄ tells most") and len(row) <= 80
        below = " ".join(on.part("#map-advice").split())
        assert "Advised" in below and advised(on.job).why in below


def test_a_row_that_has_no_room_for_its_reason_stands_without_it():
    """Nothing is cut, and no row gets longer than the list is wide."""
    row = MapRow(
        NextKind.INSPECT, "feet", "Feet and level", MapMark.UNBEGUN, minutes=10, now=True, short="tells most"
    )
    whole = map_lines([row], 60, reasons=True)[0].plain
    assert whole.endswith("◄ tells most")
    assert "◄" not in map_lines([row], len(whole) - 1, reasons=True)[0].plain
    assert "◄" not in map_lines([row], 60)[0].plain
