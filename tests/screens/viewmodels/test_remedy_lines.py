"""The remedy as lines, what stands in the way, the ranking kept, and texts cut to the screen."""

import pytest

from tests.helpers.jobs import Job, good
from wizard.domain.vocabulary import NextKind
from wizard.engine.guidance.session_ranking import FaultExplanation, RankedFault
from wizard.engine.messages import commands as c
from wizard.screens.text.clipping import cut
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache
from wizard.screens.viewmodels.faults.remedy_lines import remedy_lines
from wizard.screens.viewmodels.faults.remedy_words import NOT_YET, first_words, may_work, place_words
from wizard.screens.viewmodels.job_map.obligation_lines import standing_lines


def lines(fault, width=78, ready=True):
    job = Job()
    return [x.plain for x in remedy_lines(job.view, good().faults[fault], width, ready)]


def test_until_the_machine_is_ready_no_act_is_shown():
    """The warnings, the parts and what is measured again stand there; what hands do doesn't."""
    early, ready = (" ".join(lines("dampers-worn", ready=x)) for x in (False, True))
    assert "Take the pins out." in ready and "Take the pins out." not in early
    assert NOT_YET in early and NOT_YET not in ready
    for said in ("CAUTION", "Parts: 3 x Damper", "Measure again: Dampers."):
        assert said in early


def test_acts_are_numbered_one_a_line():
    """Each act has its number; a long one runs on under its words."""
    shown = lines("transit-in")
    assert shown[:3] == [
        " 1. Loosen every transit bolt.", " 2. Plug the holes.", " 3. Lay the bolts beside it.",
    ]  # fmt: skip
    narrow = lines("transit-in", 20)
    assert narrow[0].startswith(" 1. ") and narrow[1].startswith("    ")


def test_caution_comes_before_the_acts():
    """The signal word is on the first line."""
    assert "WARNING" in lines("wiring")[0] and "CAUTION" in lines("dampers-worn")[0]


def test_parts_are_counted_for_this_machine():
    """Three dampers, one set of pins; companions and what is measured again follow."""
    text = " ".join(lines("dampers-worn"))
    for said in (
        "Parts: 3 x Damper, 1 x Set of pins",
        "Look at along with it: Look at the counterweights.",
        "Measure again: Dampers.",
    ):
        assert said in text


def test_a_remedy_without_parts_says_nothing_of_parts():
    """No empty labels."""
    text = " ".join(lines("normal"))
    assert "Parts:" not in text and "Measure again:" not in text


def test_where_the_hands_go():
    """In the flow's words."""
    view = Job().view
    flow = view.flow
    for fault in ("dampers-worn", "transit-in", "normal"):
        assert place_words(view, flow.faults[fault]) == flow.reaches[flow.faults[fault].remedy.reach].says


def deciding():
    """At the decision, with worn dampers confirmed."""
    job = Job()
    job.until(NextKind.REPAIR)
    return job


def test_work_waits_until_what_it_needs_was_asked():
    """Dampers only once all that hands inside need is known; a step taken back to the map ends that."""
    job = deciding()
    fault = job.flow.faults["dampers-worn"]
    assert not may_work(job.view, fault)
    job.do(c.Prepare("dampers-worn"))
    job.asked()
    assert may_work(job.view, fault)
    job.do(c.Pause())
    assert not may_work(job.view, fault)


def test_what_comes_before_the_work_is_named():
    """Up to three conditions by name, the others counted; or why it can't be had at all."""
    job = Job()
    job.do(c.Confirm(("wiring",)))
    fault = job.flow.faults["wiring"]
    said = first_words(job.view, fault)
    assert said.startswith("First: ") and " more." in said and said.count(",") == 2
    job.do(c.StopWork("gas", "Gas is smelt."))
    assert first_words(job.view, fault).startswith("Gas: smelt")


def test_what_keeps_the_repair_from_being_proved_is_said():
    """Bolts in: no proof, and why; nothing else is said of a machine of which nothing stands in the way."""
    job = Job()
    assert standing_lines(job.view, 70, 9) == []
    job.through("quick", "yes")
    said = " ".join(standing_lines(job.view, 70, 9))
    assert said.startswith("No proof now. Transit bolts: in")


def test_a_stop_not_cleared_comes_first():
    """What latched, as it stands."""
    job = Job()
    job.do(c.StopWork("gas", "Gas is smelt."))
    assert standing_lines(job.view, 70, 9) == ["Gas: smelt: work is stopped."]


@pytest.mark.parametrize("room", [1, 2, 3])
def test_standing_fits_its_room_and_says_where_the_rest_is(room):
    """Never more lines than there are; what is not shown lies behind a key."""
    job = Job()
    job.through("quick", "yes")
    shown = standing_lines(job.view, 20, room)
    assert len(shown) <= room and shown[-1] == "and more: i shows all"


def test_ranking_is_computed_once_a_state():
    """The same state is not ranked twice, nor a fault explained twice; a new state is."""
    calls = []
    thinking = RankingCache(
        rank=lambda view: (calls.append(view.state.seq), (RankedFault("wiring", "x", 0.5),))[1],
        why=lambda _view, fault: (calls.append(fault), FaultExplanation(fault, 0.5, (), (), ""))[1],
    )
    job = Job()
    first = job.state.seq
    for _ in range(2):
        thinking.think(job.view, "wiring")
    assert calls == [first, "wiring"] and thinking.ready(job.state)
    job.through("quick")
    assert not thinking.ready(job.state)
    thinking.think(job.view)
    assert calls[2:] == [job.state.seq] and thinking.explained == {}


@pytest.mark.parametrize("width", [1, 5, 12, 40])
def test_cut_texts_fit(width):
    """At most that wide; whole where there is room; a sign where something is missing."""
    text = "Springs, worn hook, and more"
    shown = cut(text, width)
    assert len(shown) <= width
    assert shown == text if width >= len(text) else shown[-1] == "…"
