"""The repair, by keys, at both sizes."""

from dataclasses import replace

import pytest

from tests.helpers.flows.flow_edits import alternatives as either
from tests.helpers.jobs import good
from tests.helpers.stage import SIZES, stage
from wizard.engine.messages import commands as c
from wizard.engine.messages.repair_parts import PartFitted
from wizard.flow.model import FactValue
from wizard.screens.layout.job_screen import over

pytestmark = pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x36"])


def to_repair(*faults):
    """At the map with the repair next; what it needs is known."""

    def prepare(job):
        job.find_worn()
        job.do(c.Confirm(faults or ("dampers-worn",)))

    return prepare


def prepared(*faults):
    """The same, made ready."""

    def prepare(job):
        to_repair(*faults)(job)
        job.do(c.Prepare((faults or ("dampers-worn",))[0]))
        job.asked()

    return prepare


def after_a_break(*faults):
    """The same, after a break: what may have changed must be asked again."""

    def prepare(job):
        to_repair(*faults)(job)
        job.do(c.Pause())

    return prepare


async def test_acts_parts_companions_and_what_follows(tmp_path, size):
    """Everything that the work needs is on one screen, once the machine is ready for it."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        assert on.name == "RepairScreen"
        for text in (
            "1. Take the pins out.",
            "3 x Damper, 1 x Set of pins",
            "Look at the counterweights.",
            "Measure again: Dampers.",
            "Usually worthwhile",
        ):
            assert text in on.text


async def test_what_the_work_needs_is_asked_first(tmp_path, size):
    """Done is not offered; Enter asks what is needed, one thing after the other, and then the same screen is back."""
    async with stage(tmp_path, size, prepare=after_a_break()) as on:
        await on.press("enter")
        assert "First: " in on.text and "Take the pins out." not in on.text
        assert "once the machine is known to be ready" in " ".join(on.part("#mending-words").split())
        await on.press("4")
        assert "There is no 4 here: press 1-3." in on.text
        assert on.job.state.repairs == ()
        await on.press("enter")
        assert on.job.state.run.only and "for: Fit a new set of dampers" in on.text
        asked = await on.asked()
        assert "power.plug" in asked
        assert on.name == "RepairScreen" and "Done as above" in on.text


async def test_a_break_in_the_midst_of_the_work_asks_it_anew(tmp_path, size):
    """Hands come out, what may have changed is asked, and then the repair is on screen again."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        assert on.name == "RepairScreen" and "Done as above" in on.text
        await on.press("b", "1")
        assert "HANDS OUT" in on.text and on.job.state.run.only
        await on.asked()
        assert on.name == "RepairScreen" and "Done as above" in on.text


async def test_left_by_the_map_it_is_made_ready_again(tmp_path, size):
    """m: the repair is no longer the goal; from the map it begins with what it needs, and not with 'done'."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("m")
        assert on.name == "JobMapScreen" and on.job.state.goal == ""
        await on.press("enter")
        assert on.name == "RepairScreen" and "Done as above" not in on.text
        await on.press("enter")
        assert "Done as above" in on.text


async def test_the_foot_names_the_digits_that_answer(tmp_path, size):
    """1 to 4; another one is said to be none, nothing is written. Before it is ready three are offered: 1 to 3."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        assert "1-4 answer" in on.text
        seq = on.job.state.seq
        await on.press("5")
        assert "There is no 5 here: press 1-4." in on.text and on.job.state.seq == seq
    async with stage(tmp_path / "break", size, prepare=after_a_break()) as on:
        await on.press("enter")
        assert "Enter open  1-3 answer" in on.text
        answers = on.part("#mending-answers").splitlines()
        assert "Declined" in next(line for line in answers if line.startswith(" 1 "))
        await on.press("1")
        assert on.name == "AskReason" and "Declined" in on.text and on.job.state.repairs == ()


async def test_fitted_with_its_parts(tmp_path, size):
    """1, the parts as a set, Enter: recorded, and measuring again is next."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("1")
        assert "Which parts did you fit?" in on.text
        await on.press("enter")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.parts) == (
            "fitted",
            (PartFitted("damper", 3), PartFitted("pin-set", 1)),
        )
        assert "▸ o Measure again: Dampers" in on.text


async def test_what_reaches_the_screen_after_it_is_over_finds_nothing_to_show(tmp_path, size):
    """A focus that comes back as the last panel closes, and a new size: the job shows another scene by then."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        left = on.app.screen
        await on.press("1", "enter", "enter")
        assert on.name != "RepairScreen" and over(left)
        left.on_descendant_focus()
        left.refresh_all()


async def test_the_parts_say_what_to_do_with_them(tmp_path, size):
    """What the counts stand for, what 0 means, and what Enter does."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("1")
        assert "Change it to what you really fitted; 0 leaves a part out." in " ".join(on.text.split())
        assert "0-9 - + how many" in on.text and "Enter take these" in on.text
        await on.press("left", "left", "left")
        assert "▸   0 x Damper  (left out)" in on.text
        await on.press("escape", "3")
        assert "what you really ordered" in " ".join(on.text.split())


async def test_an_order_of_nothing_is_none_but_a_repair_may_need_no_part(tmp_path, size):
    """Said, and nothing written; fitted with none is taken."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("3", *["left"] * 3, "down", "left", "enter")
        assert "Nothing is on the list." in on.text and on.name == "PartsPanel"
        assert on.job.state.repairs == ()
        await on.press("escape", "1", *["left"] * 3, "down", "left", "enter", "1")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.parts) == ("fitted", ())


async def test_counts_can_be_changed_and_parts_left_out(tmp_path, size):
    """Left and right change the marked part; none leaves it out; never below none."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("1", "right", "down", "left", "left", "enter")
        assert "0 of 1 Set of pins" in on.text and on.job.state.repairs == ()
        await on.press("1")
        assert on.job.state.repairs[0].parts == (PartFitted("damper", 4),)


async def test_a_digit_says_how_many(tmp_path, size):
    """So many of the marked part; a second one behind it; a new row begins anew."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("1", "4")
        assert "▸   4 x Damper" in on.text
        await on.press("2")
        assert "▸  42 x Damper" in on.text
        await on.press("3")
        assert "▸   3 x Damper" in on.text
        await on.press("down", "1", "enter")
        assert on.job.state.repairs[0].parts == (PartFitted("damper", 3), PartFitted("pin-set", 1))


def uncounted():
    """The small flow, where nobody may have counted the dampers yet."""
    flow = good()
    later = FactValue(id="not-known", says="Not known yet", later=True)
    facts = (replace(f, values=(*f.values, later)) if f.id == "dampers" else f for f in flow.facts)
    return replace(flow, facts=tuple(facts))


async def test_what_nobody_counted_is_asked_by_digit_before_the_parts(tmp_path, size):
    """How many are there: then the list begins with so many, and both are recorded."""

    def decided(job):
        job.do(c.Confirm(("dampers-worn",), "The owner knows it."))
        job.do(c.Prepare("dampers-worn"))
        job.asked()

    facts = {"dampers": "not-known"}
    async with stage(tmp_path, size, facts, decided, uncounted()) as on:
        assert on.name == "RepairScreen"
        await on.press("1")
        said = " ".join(on.text.split())
        assert "How many are there?" in said and "Nobody has counted yet" in said and "Not known" not in said
        await on.press("2")
        assert "▸   3 x Damper" in on.text and on.job.state.repairs == ()
        await on.press("enter")
        if on.name == "AskReason":
            await on.type("The owner saw it")
        (repair,) = on.job.state.repairs
        assert repair.parts == (PartFitted("damper", 3), PartFitted("pin-set", 1))
        assert on.job.state.facts["dampers"] == "3"


async def test_less_than_the_whole_set_is_asked_about(tmp_path, size):
    """'1 of 3 Damper: is that so?' No leads back to the list as it was; yes writes down what was really fitted."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("1", "left", "left", "enter")
        assert "1 of 3 Damper" in on.text and "Is that so?" in on.text
        assert on.job.state.repairs == ()
        await on.press("2")
        assert on.name == "PartsPanel" and "1 x Damper" in on.text
        await on.press("enter", "1")
        assert on.job.state.repairs[0].parts == (PartFitted("damper", 1), PartFitted("pin-set", 1))


async def test_an_order_of_a_part_of_the_set_is_not_asked_about(tmp_path, size):
    """What is on order claims nothing of the machine."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("3", "left", "enter")
        assert "Where are they ordered?" in on.text


async def test_declined_tells_the_risk_and_keeps_the_words(tmp_path, size):
    """3 shows the risk to tell; an empty answer is not taken; Esc changes nothing."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("2")
        assert "Worn dampers damage the tub mounts." in on.text
        await on.press("enter")
        assert "Write a few words first." in on.text
        await on.press("escape")
        assert on.job.state.repairs == ()
        await on.press("2")
        await on.type("told it will break its mounts")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.reason) == ("declined", "told it will break its mounts")


async def test_on_order_keeps_parts_and_note(tmp_path, size):
    """5, the parts, a note that may stay empty; then the machine is left safe."""
    async with stage(tmp_path, size, prepare=prepared()) as on:
        await on.press("3", "enter")
        await on.type("friday")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.note) == ("on-order", "friday")
        assert repair.parts == (PartFitted("damper", 3), PartFitted("pin-set", 1))
        assert "Leave it waiting" in on.text


async def test_warning_stands_before_the_acts(tmp_path, size):
    """The signal word and its text come first; a remedy without parts asks for none."""
    async with stage(tmp_path, size, prepare=to_repair("wiring")) as on:
        await on.press("enter")
        assert "WARNING" in on.text and "Push the plug home." not in on.text
        assert "First: " in on.text and "terminals" in on.text
        await on.press("enter")
        asked = [on.job.at]
        while on.job.state.run is not None:
            on.job.answer()
            asked.append(on.job.at)
        assert any(step.startswith("dead.") for step in asked)
        await on.show()
        assert on.text.index("WARNING") < on.text.index("1. Push the plug home.")
        await on.press("1")
        assert on.job.state.repairs[0].parts == ()


async def test_a_remedy_without_parts_offers_no_order(tmp_path, size):
    """Nothing can be on order for it: done, declined, or put off."""
    async with stage(tmp_path, size, prepare=to_repair("wiring")) as on:
        await on.press("enter")
        assert on.name == "RepairScreen" and "Parts on order" not in on.text
        await on.press("3")
        assert "There is no 3 here" in on.text and on.job.state.repairs == ()


async def test_fault_without_a_test_asks_why(tmp_path, size):
    """No part on a guess: the engine asks for a reason, and takes it."""

    def guessed(job):
        job.do(c.Confirm(("dampers-worn",)))
        job.do(c.Prepare("dampers-worn"))
        job.asked()

    async with stage(tmp_path, size, prepare=guessed) as on:
        await on.press("1", "enter")
        assert on.name == "AskReason"
        assert "goes in on a guess" in on.text
        assert f"Why is it done: {on.job.flow.faults['dampers-worn'].remedy.says}" in " ".join(
            on.text.split()
        )
        await on.type("one lies on the floor")
        assert on.job.state.repairs[0].reason == "one lies on the floor"


async def test_each_alternative_of_a_remedy_has_its_digit(tmp_path, size):
    """1 and 2 say which it was, then declined, on order, put off; its own parts are filled in, and the event keeps the
    choice.
    """
    async with stage(tmp_path, size, prepare=prepared(), flow=either()) as on:
        for text in (
            "Done: Clear filter and hose",
            "Done: Change the pump",
            "Declined by the customer",
            "on order",
            "Put off to another visit",
        ):
            assert text in on.text
        assert "1-5 answer" in on.text
        await on.press("2")
        assert "3 x Damper" in on.text and "1 x Set of pins" in on.text
        await on.press("enter")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.alternative) == ("fitted", "change")
        assert repair.parts == (PartFitted("damper", 3), PartFitted("pin-set", 1))


async def test_an_alternative_that_takes_no_part_asks_for_none(tmp_path, size):
    """What was cleared is done with one key."""
    async with stage(tmp_path, size, prepare=prepared(), flow=either()) as on:
        await on.press("1")
        repair = on.job.state.repairs[0]
        assert (repair.outcome, repair.alternative, repair.parts) == ("fitted", "clear", ())


async def test_no_part_of_an_alternative_is_asked_about(tmp_path, size):
    """None of what makes it: it is never 'changed' by one key."""
    async with stage(tmp_path, size, prepare=prepared(), flow=either()) as on:
        await on.press("2", *["left"] * 3, "down", "left", "enter")
        assert "0 of 3 Damper, 0 of 1 Set of pins" in " ".join(on.text.split())
        assert on.job.state.repairs == ()


async def test_declined_comes_after_the_alternatives(tmp_path, size):
    """3 with two of them."""
    async with stage(tmp_path, size, prepare=prepared(), flow=either()) as on:
        await on.press("3")
        assert "Declined: what was the customer told?" in on.text
