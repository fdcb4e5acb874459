"""The remedy as lines, what stands in the way, the ranking kept, and texts cut to the screen."""

import pytest
from jobs import Job, good

from wizard.engine import commands as c
from wizard.engine.ranking import Explanation, Ranked
from wizard.screens.models.lines import cut
from wizard.screens.models.mending import may_work, place_words, remedy_lines
from wizard.screens.models.standing import standing_lines
from wizard.screens.models.thinking import Thinking


def lines(fault, width=78):
    job = Job()
    return [x.plain for x in remedy_lines(job.flow, job.state, good().faults[fault], width)]


def test_acts_are_numbered_one_a_line():
    """Each act has its number; a long one runs on under its words."""
    shown = lines("dampers-worn")
    assert shown[:3] == [" 1. Take the pins out.", " 2. Fit the new dampers.", " 3. Push the pins home."]
    narrow = lines("dampers-worn", 20)
    assert narrow[0].startswith(" 1. ") and narrow[1].startswith("    ")


def test_caution_comes_before_the_acts():
    """The signal word is on the first line."""
    assert "WARNING" in lines("wiring")[0]


def test_parts_are_counted_for_this_machine():
    """Three dampers, one set of pins; companions, debts and what is measured again follow."""
    text = " ".join(lines("dampers-worn"))
    for said in (
        "Parts: 3 x Damper, 1 x Set of pins",
        "Look at along with it: Look at the counterweights.",
        "Owed then: Level the machine again.",
        "Measure again: Dampers.",
    ):
        assert said in text


def test_a_remedy_without_parts_says_nothing_of_parts():
    """No empty labels."""
    text = " ".join(lines("normal"))
    assert "Parts:" not in text and "Owed then:" not in text and "Measure again:" not in text


def test_where_and_how_long():
    """The safety state, people and minutes; work that may be done in any state names none."""
    faults = good().faults
    assert place_words(faults["dampers-worn"]) == "machine isolated, 45 min"
    assert place_words(faults["transit-in"]) == "machine not isolated or isolated, 10 min"
    assert place_words(faults["normal"]) == "10 min"


def test_work_waits_for_its_safety_state():
    """Dampers only while isolated; proved dead counts as that."""
    job = Job()
    fault = job.flow.faults["dampers-worn"]
    assert not may_work(job.flow, job.state, fault)
    job.isolate()
    assert may_work(job.flow, job.state, fault)


def owing():
    job = Job()
    job.through("quick", "yes")
    job.do(c.Open("dampers"))
    while job.state.run.inspection != "dampers":
        job.answer()
    job.answer("swings")
    return job


def test_bars_come_before_debts():
    """What must not be done, then what is owed, a sentence each."""
    job = owing()
    assert standing_lines(job.flow, job.state, 70, 9) == [
        "Must not spin: The transit bolts are in",
        "Owed: Close the front panel",
    ]


@pytest.mark.parametrize("room", [1, 2, 3])
def test_standing_fits_its_room_and_counts_the_rest(room):
    """Never more lines than there are; what is not shown is counted."""
    job = owing()
    shown = standing_lines(job.flow, job.state, 20, room)
    assert len(shown) <= room
    assert "more" in shown[-1]


def test_ranking_is_reckoned_once_a_state():
    """The same state is not ranked twice, nor a fault explained twice; a new state is."""
    calls = []
    thinking = Thinking(
        rank=lambda _f, s: (calls.append(s.seq), (Ranked("wiring", "x", 0.5),))[1],
        why=lambda _f, _s, fault: (calls.append(fault), Explanation(fault, 0.5, (), (), ""))[1],
    )
    job = Job()
    first = job.state.seq
    for _ in range(2):
        thinking.think(job.flow, job.state, "wiring")
    assert calls == [first, "wiring"] and thinking.ready(job.state)
    job.through("quick")
    assert not thinking.ready(job.state)
    thinking.think(job.flow, job.state)
    assert calls[2:] == [job.state.seq] and thinking.told == {}


@pytest.mark.parametrize("width", [1, 5, 12, 40])
def test_cut_texts_fit(width):
    """At most that wide; whole where there is room; a sign where something is missing."""
    text = "Springs, worn hook, and more"
    shown = cut(text, width)
    assert len(shown) <= width
    assert shown == text if width >= len(text) else shown[-1] == "…"
