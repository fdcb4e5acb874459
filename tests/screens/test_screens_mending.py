"""The repair, by keys, at both sizes."""

from dataclasses import replace

import pytest
from stage import SIZES, stage

from tests.engine.jobs import good
from tests.proof.edits import remedy
from wizard.engine import commands as c

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def to_repair(*faults):
    def prepare(job):
        job.through("quick")
        job.through("dampers", "swings")
        job.do(c.Confirm(faults or ("dampers-worn",)))

    return prepare


def covered(*faults):
    """The same, after a break: every gate must be asked again."""

    def prepare(job):
        to_repair(*faults)(job)
        job.do(c.Pause())

    return prepare


async def test_acts_parts_companions_and_what_follows(tmp_path, size):
    """Everything that the work needs is on one screen."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter")
        assert on.name == "MendingScreen"
        for text in (
            "1. Take the pins out.",
            "3 x Damper, 1 x Set of pins",
            "Look at the counterweights.",
            "Level the machine again.",
            "Measure again: Dampers.",
            "Usually worthwhile",
        ):
            assert text in on.text


async def test_without_its_safety_state_the_gate_comes_first(tmp_path, size):
    """1 is refused with a sentence; Enter opens the gate, and after it the same screen is back."""
    async with stage(tmp_path, size, prepare=covered()) as on:
        await on.press("enter")
        assert "First: Isolate the machine" in on.text
        await on.press("1")
        assert "not safe for this work yet" in on.text
        assert on.job.state.repairs == ()
        await on.press("enter")
        assert on.job.at.startswith("isolate.")
        while on.job.state.run is not None:
            on.job.answer()
        await on.show()
        assert on.name == "MendingScreen" and "Done as above" in on.text


def for_two(job):
    """The repair as the next act, with nobody named to help."""
    to_repair()(job)
    visit = replace(job.state.visits[-1], person="")
    job.session.state = replace(job.state, visits=(visit,))


async def test_work_for_two_asks_who_helps_before_it_is_done(tmp_path, size):
    """Enter asks for the name, and not for one's own; 1 is refused until then; ordering takes nobody."""
    flow = replace(remedy(good(), "dampers-worn", people=2), digest=good().digest)
    async with stage(tmp_path, size, prepare=for_two, flow=flow) as on:
        await on.press("enter")
        assert "First: name the second person." in on.text and "Done as above" not in on.text
        await on.press("1")
        assert "the second one is not named" in on.text and on.job.state.repairs == ()
        await on.press("enter")
        await on.type("r vale")
        assert "That is your own name." in on.text and on.name == "MendingScreen"
        await on.press("enter")
        await on.type("M. Oak")
        assert on.job.state.visit.person == "M. Oak"
        assert on.name == "MendingScreen" and "Done as above" in on.text


async def test_the_foot_names_the_digits_that_answer(tmp_path, size):
    """1, 3 or 5; another one is said to be none, and nothing is written. Before the gate, 1 is no answer yet."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter")
        assert "1, 3 or 5 answer" in on.text
        seq = on.job.state.seq
        await on.press("2")
        assert "There is no 2 here: press 1, 3 or 5." in on.text and on.job.state.seq == seq
    async with stage(tmp_path / "covered", size, prepare=covered()) as on:
        await on.press("enter")
        assert "Enter open  3 or 5 answer" in on.text


async def test_fitted_with_its_parts(tmp_path, size):
    """1, the parts as a set, Enter: recorded, and measuring again is next."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "1")
        assert "Which parts did you fit?" in on.text
        await on.press("enter")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.parts) == ("fitted", ("damper x3", "pin-set x1"))
        assert "▸ o Measure again: Dampers" in on.text


async def test_the_parts_say_what_to_do_with_them(tmp_path, size):
    """What the counts stand for, what 0 means, and what Enter does."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "1")
        assert "Change it to what you really fitted; 0 leaves a part out." in " ".join(on.text.split())
        assert "- + how many" in on.text and "Enter take these" in on.text
        await on.press("left", "left", "left")
        assert "▸   0 x Damper  (left out)" in on.text
        await on.press("escape", "5")
        assert "what you really ordered" in " ".join(on.text.split())


async def test_an_order_of_nothing_is_none_but_a_repair_may_need_no_part(tmp_path, size):
    """Said, and nothing written; fitted with none is taken."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "5", *["left"] * 3, "down", "left", "enter")
        assert "Nothing is on the list." in on.text and on.name == "PartsPanel"
        assert on.job.state.repairs == ()
        await on.press("escape", "1", *["left"] * 3, "down", "left", "enter")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.parts) == ("fitted", ())


async def test_counts_can_be_changed_and_parts_left_out(tmp_path, size):
    """Left and right change the marked part; none leaves it out; never below none."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "1", "right", "down", "left", "left", "enter")
        assert on.job.state.repairs[0].parts == ("damper x4",)


async def test_declined_tells_the_risk_and_keeps_the_words(tmp_path, size):
    """3 shows the risk to tell; an empty answer is not taken; Esc changes nothing."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "3")
        assert "Worn dampers damage the tub mounts." in on.text
        await on.press("enter")
        assert "Write a few words first." in on.text
        await on.press("escape")
        assert on.job.state.repairs == ()
        await on.press("3")
        await on.type("told it will break its mounts")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.reason) == ("declined", "told it will break its mounts")


async def test_on_order_keeps_parts_and_note(tmp_path, size):
    """5, the parts, a note that may stay empty; then the machine is left safe."""
    async with stage(tmp_path, size, prepare=to_repair()) as on:
        await on.press("enter", "5", "enter")
        await on.type("friday")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.reason) == ("on-order", "friday")
        assert repair.parts == ("damper x3", "pin-set x1")
        assert "Leave it waiting" in on.text


async def test_warning_stands_before_the_acts(tmp_path, size):
    """The signal word and its text come first; a remedy without parts asks for none."""
    async with stage(tmp_path, size, prepare=to_repair("wiring")) as on:
        await on.press("enter")
        assert on.text.index("WARNING") < on.text.index("1. Push the plug home.")
        assert "First: Prove it dead" in on.text
        await on.press("enter")
        while on.job.state.run is not None:
            on.job.answer()
        await on.show()
        await on.press("1")
        assert on.job.state.repairs[0].parts == ()


async def test_fault_without_a_test_asks_why(tmp_path, size):
    """No part on a guess: the engine asks for a reason, and takes it."""

    def guessed(job):
        job.isolate()
        job.do(c.Confirm(("dampers-worn",)))

    async with stage(tmp_path, size, prepare=guessed) as on:
        await on.press("enter", "1", "enter")
        assert on.name == "AskReason"
        assert "No part goes in on a guess" in on.text
        await on.type("one lies on the floor")
        assert on.job.state.repairs[0].reason == "one lies on the floor"
