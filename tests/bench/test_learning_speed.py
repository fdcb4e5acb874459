"""How long learning takes. Run with: python -m pytest -o addopts= -s tests/bench/test_learning_speed.py

As ratios in one run: to one posterior a session, and to verifying a session. The seconds are printed.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

from tests.bench.budget import within
from tests.helpers.drawn_sessions import drawn, shake
from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import store_at
from wizard.diagnosis.network_builder import build
from wizard.diagnosis.network_posterior import weigh
from wizard.learning.learner import learn
from wizard.learning.observation import Observation
from wizard.learning.session_source import places, read_one
from wizard.sessions.session_verification import verified

SESSIONS = 4_000
LEARNING, READING = 2.5, 1.0


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

    def known(_digest: str) -> bool:
        return True

    read_one(flow, known, some[0])
    verified(store, some[0].session)
    mine = min(spent(lambda: [read_one(flow, known, one) for one in some]) for _ in range(3))
    floor = min(spent(lambda: [verified(store, one.session) for one in some]) for _ in range(3))
    print(
        f"\nreading a session: {1e3 * mine / len(some):.0f} ms, verifying it {1e3 * floor / len(some):.0f} ms"
    )
    within("a session read to learn from", mine / floor, READING, "verifying it alone")
