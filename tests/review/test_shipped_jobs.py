"""Whole jobs on the shipped flows, played from their cases: replayed and looked through."""

from functools import lru_cache

import pytest

from wizard.engine.driver import Driver
from wizard.engine.session import Session
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.review.flags.flag_rules import flags
from wizard.review.replay import Replay
from wizard.review.timeline import stays, timeline

EACH = 6
"""Cases played of each flow, spread over all of them."""


@lru_cache(maxsize=4)
def flow_at(folder):
    return load(folder, lambda digest: True)


def chosen():
    """A few cases of every shipped flow."""
    for folder in shipped().values():
        cases = load_cases(folder, flow_at(folder))
        yield from (
            pytest.param(folder, one, id=f"{folder.name}-{one.id}") for one in cases[:: len(cases) // EACH]
        )


def played(folder, case):
    """The session of a case: its flow, its events, and its state after each."""
    flow = flow_at(folder)
    clock, records, states = CaseClock(), [], []
    session = Session.begin(flow, "2026-03-02-a", records.append, clock, "R. Vale")
    write = session._write

    def watched(record):
        states.append(session.state)
        write(record)

    session._write = watched
    driver = Driver(session, Script(case), clock.pass_by)
    while driver.advance():
        pass
    return flow, records, [*states, session.state]


@pytest.mark.parametrize(("folder", "case"), list(chosen()))
def test_case_replays_and_breaks_no_rule(folder, case):
    """Every state is the live one, every event has its frame and its row, and the rules allowed all of it."""
    flow, records, live = played(folder, case)
    replay = Replay(flow, records)
    # What begins a job is written before the session can be watched: itself, the visit, the first step and its showing.
    assert [replay.state(place) for place in range(4, len(replay) + 1)] == live
    for place in range(1, len(replay) + 1):
        frame = replay.frame(place)
        assert frame.trouble == "" and frame.says and frame.shown.title
    assert len(timeline(replay)) == len(records)
    assert sum(s.seconds for s in stays(replay)) <= sum(r.since for r in records) + 1e-6
    found = flags(replay)
    assert [f for f in found if f.rule == "against-rules"] == []
    assert all(f.says.endswith(".") and f.evidence.endswith(".") for f in found)
