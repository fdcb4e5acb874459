"""Whole jobs on the shipped flows, played from their cases: replayed and looked through."""

from functools import lru_cache

import pytest

from wizard.engine.drive import Driver
from wizard.engine.session import Session
from wizard.flow.case_files import load_case
from wizard.flow.load import load
from wizard.flow.shipped import shipped
from wizard.proof.clock import CaseClock
from wizard.proof.script import Script
from wizard.review.flags import flags
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
        files = sorted((folder / "cases").glob("*.toml"))
        yield from files[:: max(1, len(files) // EACH)]


def played(path):
    """The session of a case: its flow, its events, and its state after each."""
    flow = flow_at(path.parent.parent)
    clock, records, states = CaseClock(), [], []
    session = Session.begin(flow, "2026-03-02-a", records.append, clock, "R. Vale")
    write = session._write

    def watched(record):
        states.append(session.state)
        write(record)

    session._write = watched
    driver = Driver(session, Script(load_case(path, flow)), clock.pass_by)
    while driver.advance():
        pass
    return flow, records, [*states, session.state]


@pytest.mark.parametrize("path", list(chosen()), ids=lambda p: f"{p.parent.parent.name}-{p.stem}")
def test_case_replays_and_breaks_no_rule(path):
    """Every state is the live one, every event has its frame and its row, and the rules allowed all of it."""
    flow, records, live = played(path)
    replay = Replay(flow, records)
    # The first two events are written before the session can be watched.
    assert [replay.state(place) for place in range(2, len(replay) + 1)] == live
    for place in range(1, len(replay) + 1):
        frame = replay.frame(place)
        assert frame.trouble == "" and frame.says and frame.shown.title
    assert len(timeline(replay)) == len(records)
    assert sum(s.seconds for s in stays(replay)) <= sum(r.since for r in records) + 1e-6
    found = flags(replay)
    assert [f for f in found if f.rule == "against-rules"] == []
    assert all(f.says.endswith(".") and f.evidence.endswith(".") for f in found)
