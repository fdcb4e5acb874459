"""How long learning takes. Run with: python -m pytest -o addopts= -s tests/bench/test_learning_speed.py

As ratios in one run: to one posterior a session, to verifying a session, to parsing its journal, and of two
processes to one. The seconds are printed.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
import tomli

from tests.bench.budget import within
from tests.helpers.drawn_sessions import drawn, shake
from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import store_at
from wizard.diagnosis.network_builder import build
from wizard.diagnosis.network_posterior import weigh
from wizard.journal.journal_reader import NAME
from wizard.learning.learner import learn
from wizard.learning.observation import Observation
from wizard.learning.session_source import observations, places, read_one
from wizard.sessions.session_verification import verified

SESSIONS = 4_000
LEARNING, READING = 2.5, 1.0
PARSED, VOUCHED, SHARED = 12.0, 0.6, 0.75
ROUNDS = 40


def known(_digest: str) -> bool:
    """Every flow is sound: its check has benchmarks of its own."""
    return True


def spent(work: Callable[[], object]) -> float:
    """The processor seconds that something takes."""
    start = time.process_time()
    work()
    return time.process_time() - start


def sessions() -> list[Observation]:
    """As a shop has them: three kinds of machine, some evidence soft, one session in six without a proof."""
    return [
        one
        for n, kind in enumerate(("front-loader", "top-hung", "top-base"))
        for part, sureness in ((0.7, 1.0), (0.3, 0.85))
        for one in drawn(
            shake(), int(SESSIONS / 3 * part) + 1, 7 + n, {"kind": kind}, sureness=sureness, proved=0.83
        )
    ]


def test_learning_from_four_thousand_sessions() -> None:
    """At most two and a half times as long as a posterior of each: the unproved ones are weighed in each round."""
    some = sessions()
    networks = {one.facts["kind"]: build(shake(), one.facts) for one in some}
    floor = spent(lambda: [weigh(networks[one.facts["kind"]], one.evidence) for one in some])
    mine = spent(lambda: learn(shake(), some))
    print(
        f"\nlearning from {len(some)} sessions: {mine:.1f} s, their posteriors {floor:.1f} s, {mine / floor:.2f}x"
    )
    within(f"learning from {len(some)} sessions", mine / floor, LEARNING, "a posterior of each")


def test_reading_a_session_to_learn_from(tmp_path: Path) -> None:
    """No longer than verifying it alone, as of one session: here the flow is read once for all of them."""
    home = learned_home(tmp_path / "home")
    some, store = places(home, ()), store_at(home)
    flow = store.load(some[0].session).flow.id
    read_one(flow, known, some[0])
    verified(store, some[0].session)
    mine = min(spent(lambda: [read_one(flow, known, one) for one in some]) for _ in range(3))
    floor = min(spent(lambda: [verified(store, one.session) for one in some]) for _ in range(3))
    print(
        f"\nreading a session: {1e3 * mine / len(some):.0f} ms, verifying it {1e3 * floor / len(some):.0f} ms"
    )
    within("a session read to learn from", mine / floor, READING, "verifying it alone")


def test_reading_a_session_in_parses_of_its_journal(tmp_path: Path) -> None:
    """A journal is parsed once, to be read, verified and held against a ledger; what the archive verified is read."""
    home = learned_home(tmp_path / "home")
    some, store = places(home, ()), store_at(home)
    flow = store.load(some[0].session).flow.id
    texts = [(store.home.session_folder(one.session) / NAME).read_text(encoding="utf-8") for one in some]
    read_one(flow, known, some[0])
    unit = min(spent(lambda: [tomli.loads(text) for text in texts]) for _ in range(3))
    mine = min(spent(lambda: [read_one(flow, known, one) for one in some]) for _ in range(3))
    sound = min(spent(lambda: [read_one(flow, known, one, True) for one in some]) for _ in range(3))
    print(
        f"\nread {mine / unit:.1f}, verified before {sound / unit:.1f} parses of {1e3 * unit / len(some):.1f} ms"
    )
    within("a session read and verified", mine / unit, PARSED, "its journal parsed alone")
    within("one that the archive verified", sound / mine, VOUCHED, "the same verified")


@pytest.mark.skipif(sys.platform == "win32", reason="its os.times has no time of children")
def test_two_processes_share_the_reading(tmp_path: Path) -> None:
    """Of many sessions each of two processes has half, handed out a few at a time. By the processor's time, so that
    other work counts for nothing: this one's, and half of theirs, the beginning of both with it.
    """
    home = learned_home(tmp_path / "home")
    some = places(home, ()) * ROUNDS
    flow = store_at(home).load(some[0].session).flow.id

    def took(processes: int) -> float:
        start = os.times()
        observations(flow, some, processes, known)
        end = os.times()
        theirs = end.children_user + end.children_system - start.children_user - start.children_system
        return end.user + end.system - start.user - start.system + theirs / processes

    alone, shared = took(1), took(2)
    print(f"\n{len(some)} sessions: {alone:.1f} s alone, {shared:.1f} s by two")
    within("sessions read by two processes", shared / alone, SHARED, "by one")
