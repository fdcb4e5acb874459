"""The decision, by keys, at both sizes."""

import pytest

from tests.helpers.stage import SIZES, stage
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.journal.journal_reader import read

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def to_decision(job):
    """All looked at, dampers found weak, a motor plug loose."""
    job.come_to_pull()
    job.measure(18)
    job.through("motor", "loose")
    job.until(NextKind.DECIDE)


async def test_faults_stand_in_order_with_percent_and_reasons(tmp_path, size):
    """The likeliest first, marked; what speaks for it below."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d")
        assert "▸  1  [ ] Dampers worn" in on.text
        assert "decided" in on.text
        assert "+ " in on.text.split("Dampers worn:")[1]


async def test_digit_ticks_enter_confirms(tmp_path, size):
    """1 and Enter, and a yes to what stays unexplained: it is confirmed and the map shows its repair next."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "1")
        assert "[x] Dampers worn" in on.text
        await on.press("enter", "1")
        assert on.job.state.decided == ("dampers-worn",)
        assert on.name == "JobMapScreen"
        assert "▸ o Fit a new set of dampers" in on.text


async def test_a_digit_of_no_fault_is_said(tmp_path, size):
    """The foot names the digits that tick; with more faults than digits all of them do."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d")
        last = max(r.digit for r in on.app.screen.choice.rows)
        assert f"1-{last} Space tick" in on.text
        assert last < 9
        await on.press("9")
        assert f"There is no 9 here: press 1-{last}." in on.text and "[x]" not in on.text


async def test_space_ticks_the_marked_one_and_two_may_be_confirmed(tmp_path, size):
    """The cursor and space; two faults at once."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "1", "down", "space", "enter")
        assert len(on.job.state.decided) == 2
        assert "dampers-worn" in on.job.state.decided


def only_quick(job):
    """One of three parts of the search looked at, nothing found, and the decision."""
    job.through("quick")


async def test_none_and_what_excludes_all_others_say_how_much_was_looked_at(tmp_path, size):
    """1 of 3: said and asked, for no fault ticked and for 'normal' alike; back changes nothing."""
    async with stage(tmp_path, size, prepare=only_quick) as on:
        await on.press("d", "enter")
        assert "1 of 3 looked at" in on.text and "could still show a fault" in " ".join(on.text.split())
        assert "Yes: the fault was not found" in on.text and "Was everything looked at" not in on.text
        await on.press("2")
        row = next(r for r in on.app.screen.choice.rows if r.alone)
        await on.press(str(row.digit), "enter")
        assert "1 of 3 looked at" in on.text and on.job.state.decided is None
        await on.press("2")
        assert on.name == "DecisionScreen" and on.job.state.decided is None


async def test_none_with_all_looked_at_says_so(tmp_path, size):
    """3 of 3: nothing is left that could show one."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "enter")
        assert "3 of 3 looked at" in on.text and "could still show" not in on.text
        assert "Yes: no fault was found" in on.text


async def test_normal_excludes_the_others(tmp_path, size):
    """Ticking 'normal' unticks what was ticked."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "1")
        row = next(r for r in on.app.screen.choice.rows if r.alone)
        await on.press(str(row.digit), "enter", "1")
        await on.type("it was the rug")
        assert on.job.state.decided == ("normal",)


async def test_none_is_confirmed_with_a_second_yes(tmp_path, size):
    """Enter with nothing ticked asks once more; 3 goes back, 1 confirms none."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "enter")
        assert "No fault?" in on.text
        await on.press("3")
        assert on.job.state.decided is None
        await on.press("enter", "1")
        assert on.job.state.decided == ()


def last_event(on):
    return read(on.job.opened.folder / "journal.toml").events[-1]


async def unlikely(on):
    """Tick what hardly anything speaks for, alone, and confirm it."""
    await on.press("d")
    row = min((r for r in on.app.screen.choice.rows if r.digit and not r.alone), key=lambda r: r.probability)
    assert row.probability < 0.10
    await on.press(str(row.digit), "enter")
    if on.name == "AskOne":
        await on.press("1")
    return row


async def test_fault_against_the_ranking_asks_why(tmp_path, size):
    """The reason is typed in a field: letters that are keys of the map go into it, and it is kept."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        row = await unlikely(on)
        assert on.name == "AskWhy" and on.job.state.decided is None
        assert "Confirmed against the ranking:" in on.text and "Dampers worn" in on.text
        await on.type("smelt of dust m d s")
        assert on.job.state.decided == (row.fault,) and on.name == "JobMapScreen"
        event = last_event(on)
        assert (event["kind"], event["reason"]) == ("decided", "smelt of dust m d s")


async def test_no_reason_is_given_only_knowingly(tmp_path, size):
    """Enter on an empty field says what that means; a second one goes on, Esc goes back."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        row = await unlikely(on)
        await on.press("enter")
        assert on.name == "AskWhy" and "a reviewer will see so" in " ".join(on.text.split())
        await on.press("enter")
        assert on.job.state.decided == (row.fault,) and "reason" not in last_event(on)


async def test_going_back_from_why_confirms_nothing(tmp_path, size):
    """Esc leaves the ticks as they were."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await unlikely(on)
        await on.press("escape")
        assert on.name == "DecisionScreen" and on.job.state.decided is None


async def test_marked_fault_is_explained(tmp_path, size):
    """Moving the mark shows the next fault's reasons."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d", "down")
        second = on.app.screen.choice.rows[1]
        assert f"{second.says}: " in on.text


async def test_changing_the_decision_after_a_repair_asks_why(tmp_path, size):
    """The engine wants a reason; what was typed goes with the new decision."""

    def repaired(job):
        to_decision(job)
        job.do(c.Confirm(("dampers-worn",)))
        job.fit("dampers-worn")

    async with stage(tmp_path, size, prepare=repaired) as on:
        await on.press("d")
        assert "[x]" not in on.text and "besides what was repaired" in on.text
        assert "Dampers worn (repaired)" in on.text and "Not put right" not in on.text
        row = next(r for r in on.app.screen.choice.rows if r.fault == "wiring")
        await on.press(str(row.digit), "enter")
        assert on.name == "AskReason" and "A repair was recorded since." in on.text
        await on.type("the plug was loose too")
        assert set(on.job.state.decided) == {"dampers-worn", "wiring"}


async def test_early_digit_ticks_nothing(tmp_path, size):
    """A digit within 250 ms of the screen being shown is for the one before."""
    async with stage(tmp_path, size, prepare=to_decision) as on:
        await on.press("d")
        await on.press("m")
        await on.press("d")
        on.app.host.guard.arm()
        await on.pilot.press("1")
        await on.settle()
        assert "[x]" not in on.text
