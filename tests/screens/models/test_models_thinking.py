"""What is reckoned is kept for its state, and an older state never overwrites a newer one."""

from dataclasses import replace

from jobs import Job

from wizard.engine.ranking import Explanation, Ranked, Second
from wizard.screens.models.thinking import Thinking


def counting():
    """A Thinking whose work is counted."""
    calls = []

    def note(what, value):
        return lambda *_: (calls.append(what), value)[1]

    made = Thinking(
        rank=note("rank", (Ranked("x", "X", 0.5),)),
        advise=note("advise", None),
        why=note("why", Explanation("x", 0.5, (), (), "")),
        ask=note("ask", Second()),
    )
    return made, calls


def test_each_is_reckoned_once_a_state():
    """Ranking, advice, an explanation, what is left open: asked twice, made once."""
    job, (thinking, calls) = Job(), counting()
    for _ in range(2):
        thinking.think(job.flow, job.state, "x", frozenset({"x"}))
    assert calls == ["rank", "advise", "why", "ask"]
    assert thinking.ready(job.state) and thinking.decided == ()


def test_a_new_state_is_reckoned_anew():
    """What explained the old one is forgotten."""
    job, (thinking, calls) = Job(), counting()
    thinking.think(job.flow, job.state, "x")
    thinking.think(job.flow, replace(job.state, seq=job.state.seq + 1))
    assert calls == ["rank", "advise", "why", "rank", "advise"] and thinking.told == {}


def test_an_overtaken_thread_changes_nothing():
    """What comes for an earlier state is dropped, also when it was overtaken on its way."""
    job, (thinking, calls) = Job(), counting()
    later = replace(job.state, seq=job.state.seq + 5)
    thinking.think(job.flow, later)
    thinking.think(job.flow, job.state, "x")
    assert thinking.ready(later) and calls == ["rank", "advise"]
    slow, _ = counting()
    rank = slow.rank
    slow.rank = lambda flow, state: (
        (slow.think(flow, later), rank(flow, state))[1] if state is job.state else rank(flow, state)
    )
    slow.think(job.flow, job.state)
    assert slow.ready(later)
