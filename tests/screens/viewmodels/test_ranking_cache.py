"""What is computed is kept for its state, and an older state never overwrites a newer one."""

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.engine.guidance.session_ranking import FaultExplanation, RankedFault, Residual
from wizard.screens.viewmodels.faults.ranking_cache import RankingCache


def counting():
    """A Thinking whose work is counted."""
    calls = []

    def note(what, value):
        return lambda *_: (calls.append(what), value)[1]

    made = RankingCache(
        rank=note("rank", (RankedFault("x", "X", 0.5),)),
        advise=note("advise", None),
        why=note("why", FaultExplanation("x", 0.5, (), (), "")),
        ask=note("ask", Residual()),
    )
    return made, calls


def test_each_is_computed_once_a_state():
    """Ranking, advice, an explanation, what is left open: asked twice, made once."""
    job, (thinking, calls) = Job(), counting()
    for _ in range(2):
        thinking.think(job.view, "x", frozenset({"x"}))
    assert calls == ["rank", "advise", "why", "ask"]
    assert thinking.ready(job.state) and thinking.decided == ()


def test_a_new_state_is_computed_anew():
    """What explained the old one is forgotten."""
    job, (thinking, calls) = Job(), counting()
    thinking.think(job.view, "x")
    thinking.think(job.view.at(replace(job.state, seq=job.state.seq + 1)))
    assert calls == ["rank", "advise", "why", "rank", "advise"] and thinking.explained == {}


def test_an_overtaken_thread_changes_nothing():
    """What comes for an earlier state is dropped, also when it was overtaken on its way."""
    job, (thinking, calls) = Job(), counting()
    later = job.view.at(replace(job.state, seq=job.state.seq + 5))
    thinking.think(later)
    thinking.think(job.view, "x")
    assert thinking.ready(later.state) and calls == ["rank", "advise"]
    slow, _ = counting()
    rank = slow.rank
    slow.rank = lambda view: (slow.think(later), rank(view))[1] if view is not later else rank(view)
    slow.think(job.view)
    assert slow.ready(later.state)
