"""Long use: a job of ten thousand events, a day of idling, hundreds of keys: memory flat, keys as fast as at the start.

Run with: python -m tests.bench long
"""

from __future__ import annotations

import os
import sys
import tracemalloc
from collections.abc import Iterator
from pathlib import Path
from statistics import median

import pytest

from tests.bench.budget import within
from tests.bench.terminal.ptys import Pty, warm
from tests.helpers.jobs import Job
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flow.parsing.flow_files import read_folder
from wizard.platform.system_clock import SystemClock
from wizard.sessions.session_store import Store

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory as Linux tells it")

EVENTS, KEYS, MANY_KEYS = 10_000, 40, 200
HEARS = 0.3
"""Seconds after a question in which no key is pressed: a little more than the program is deaf for."""
DAY, BEAT = 86_400, 5


@pytest.fixture(scope="module")
def env(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Modules compiled once."""
    return warm(tmp_path_factory.mktemp("cache"))


@pytest.fixture(scope="module")
def content() -> dict[str, bytes]:
    """The shipped flow's files."""
    return dict(read_folder(shipped()["washer-shake"]))


def at_a_step(home: Path, content: dict[str, bytes], notes: int) -> tuple[str, ...]:
    """How the program is called to resume a job with so many notes, at a question that needs nothing of the machine."""
    flow, real = load_files(content), os.fsync
    os.fsync = lambda _descriptor: None  # Ten thousand waits for a disk say nothing here.
    try:
        with Store(home, SystemClock()).begin(flow, content, "R. Vale") as opened:
            _begin(opened.session, flow)
            for number in range(notes):
                opened.session.do(c.AddNote(f"Note {number}."))
            return ("-m", "wizard.cli", "--home", str(home), "job", "--resume", opened.name)
    finally:
        os.fsync = real


def _begin(session, flow: Flow) -> None:
    session.do(c.GiveAnswer(session.state.run.id, "danger", ("clear",)))
    while asked := next_queries.open_facts(session.view):
        fact = flow.fact(asked[0])
        assert fact is not None
        session.do(c.SetFact(fact.id, fact.usual or (fact.values[0].id if fact.values else "X1")))
    session.do(c.SetComplaint("It shakes."))
    session.do(c.OpenInspection("arrival"))
    session.do(c.GiveAnswer(session.state.run.id, "noises", ("ramp",)))


def asked(content: dict[str, bytes]) -> Iterator[tuple[str, ...]]:
    """By turns what an answer and its undo bring on the screen."""
    steps = load_files(content).inspections["arrival"].steps
    shown = [(f"step {n + 1} of", steps[n].do[:16], steps[n].answers[-1].says[:12]) for n in (2, 1)]
    while True:
        yield from shown


def pressed(run: Pty, content: dict[str, bytes], count: int) -> list[float]:
    """Seconds that each of so many keys took until its question stood there."""
    took = []
    for number, words in zip(range(count), asked(content), strict=False):
        run.drawn.clear()
        sent = run.send("1u"[number % 2])
        took.append(run.until(*words) - sent)
        run.quiet(HEARS)
    return took


def begun(arguments: tuple[str, ...], env: dict[str, str]) -> Pty:
    run = Pty(arguments, env)
    run.until("step 2 of")
    run.quiet(1.0)
    return run


def test_ten_thousand_events(tmp_path: Path, content: dict[str, bytes], env: dict[str, str]) -> None:
    """A job as long as a hundred visits, beside one just begun, key by key."""
    runs = [begun(at_a_step(tmp_path / f"home{n}", content, n), env) for n in (0, EVENTS)]
    try:
        memory = [run.memory() for run in runs]
        short, long = [], []
        for _ in range(KEYS // 2):
            short += pressed(runs[0], content, 2)
            long += pressed(runs[1], content, 2)
    finally:
        for run in runs:
            run.end()
    within(
        "key to the next question after 10,000 events, median", median(long) / median(short), 1.5, "a new job"
    )
    within("memory with 10,000 events", memory[1] / memory[0], 1.6, "a new job")


def test_hundreds_of_keys(tmp_path: Path, content: dict[str, bytes], env: dict[str, str]) -> None:
    """After hundreds of keys the next are as fast as those of a program just begun, key by key; and memory stays."""
    worn = begun(at_a_step(tmp_path / "worn", content, 0), env)
    runs = [worn]
    try:
        pressed(worn, content, KEYS)
        before = worn.memory()
        pressed(worn, content, MANY_KEYS)
        after = worn.memory()
        runs.append(begun(at_a_step(tmp_path / "fresh", content, 0), env))
        last, first = [], []
        for _ in range(KEYS // 2):
            last += pressed(worn, content, 2)
            first += pressed(runs[1], content, 2)
    finally:
        for run in runs:
            run.end()
    within("a key after 240, median", median(last) / median(first), 1.3, "of a program just begun")
    within("memory after 240 keys", after / before, 1.1, "that after 40")


def test_a_day_of_idling() -> None:
    """17,280 beats of a program that nobody touches: no event but that the machine was left, and no memory."""
    job = Job()

    def idle(beats: int) -> None:
        for _ in range(beats):
            job.clock.move(BEAT)
            job.session.beat()

    idle(720)  # An hour: what a lapse says is said.
    events = job.state.seq
    tracemalloc.start()
    try:
        before, _ = tracemalloc.get_traced_memory()
        idle(DAY // BEAT)
        after, _ = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert job.state.seq == events
    within("memory of a day of beats", (after - before) / 1024, 64, "-", "kB")
