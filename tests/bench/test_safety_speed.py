"""How long the model of the machine takes. Run with: python -m pytest -o addopts= -s tests/bench/test_safety_speed.py

Against a plain loop over a dict in the same run, since a shared computer says nothing in seconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable

from tests.bench.budget import within
from tests.safety.belief_search import search
from tests.safety.lab import kinds_of_machine, lab, machines
from wizard.safety import Model

FINE = time.get_clock_info("thread_time").resolution <= 1e-4
CLOCK = time.thread_time if FINE else time.perf_counter
LOOP = 1_000_000
SEARCH, STEP = 9.0, 1 / 400
"""The bounds, in loops."""


def seconds(call: Callable[[], object], times: int = 3) -> float:
    """Seconds of one call, the best of some."""
    best = float("inf")
    for _ in range(times):
        start = CLOCK()
        call()
        best = min(best, CLOCK() - start)
    return best


def loop() -> dict[int, int]:
    """A million steps of what the model does most: masks, and a look into a dict."""
    seen: dict[int, int] = {}
    for n in range(LOOP):
        key = n & 0xFFFF
        if key not in seen:
            seen[key] = n | 1
    return seen


def test_the_search_of_six_machines() -> None:
    """All beliefs of the library of the tests, in six machines, the models made too."""
    facts = kinds_of_machine()

    def anew() -> None:
        search([(each, Model.of(lab().conditions, lab().reaches, lab().acts, each)) for each in facts])

    taken, plain = seconds(anew), seconds(loop)
    print(f"\nsearch: {taken:.3f} s, {taken / plain:.2f} loops of {plain:.3f} s")
    within("all beliefs of six machines", taken / plain, SEARCH, "a loop of a million")


def test_the_next_step() -> None:
    """What is asked next, from a belief as the state holds it: far below a millisecond."""
    model = machines()[3]
    needs, nothing = model.acts["work.spin"].needs, model.top()

    def often() -> None:
        for _ in range(200):
            model.next_step(nothing, needs)

    taken, plain = seconds(often) / 200, seconds(loop)
    print(f"\nnext step: {taken * 1e6:.0f} us, one in {plain / taken:.0f} of a loop of {plain:.3f} s")
    within("what is asked next", taken / plain, STEP, "a loop of a million")
