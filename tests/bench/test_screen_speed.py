"""What the screens cost against a bare Textual app in the same run, in a pseudo-terminal: paint, echo, memory.

Run with: python -m pytest -o addopts= -s tests/bench/test_screen_speed.py
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from statistics import median, quantiles

import pytest

from tests.bench.budget import within
from tests.bench.terminal.ptys import Pty, warm
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.flow_files import read_folder
from wizard.platform.system_clock import SystemClock
from wizard.sessions.session_store import Store

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them")
BARE = ("tests/bench/terminal/bare.py",)
RUNS, KEYS = 9, 60
HEARS = 0.3
"""Seconds after a question in which no key is pressed: a little more than the program is deaf for."""


@pytest.fixture(scope="module")
def env(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    """Modules compiled once, before anything is measured."""
    found = warm(tmp_path_factory.mktemp("cache"))
    for arguments in (BARE, ours(tmp_path_factory.mktemp("home"))):
        painted(arguments, found)
    return found


def ours(home: Path, *more: str) -> tuple[str, ...]:
    """The program on a home of its own."""
    return ("-m", "wizard.cli", "--home", str(home), *more)


@contextmanager
def running(arguments: tuple[str, ...], env: dict[str, str]) -> Iterator[Pty]:
    """A program that is ended whatever happens."""
    run = Pty(arguments, env)
    try:
        yield run
    finally:
        run.end()


def painted(arguments: tuple[str, ...], env: dict[str, str]) -> float:
    """Seconds from the start until 'Steadfoot' stands on the screen."""
    with running(arguments, env) as run:
        return run.until("Steadfoot")


def echoed(run: Pty, key: str, *words: str) -> float:
    """Seconds from a key until all the words that it must bring stand on the screen."""
    run.drawn.clear()
    sent = run.send(key)
    took = run.until(*words) - sent
    run.quiet(HEARS)
    return took


def begun(run: Pty) -> Pty:
    """The program once it has drawn its first screen."""
    run.until("1")
    run.quiet(1.0)
    return run


def remembered(arguments: tuple[str, ...], env: dict[str, str]) -> int:
    """The memory in kB once the program has drawn its screen and is quiet."""
    with running(arguments, env) as run:
        return begun(run).memory()


@pytest.fixture
def at_a_step(tmp_path: Path, env: dict[str, str]) -> tuple[str, ...]:
    """How the program is called to resume a job on the shipped washer at a question that needs nothing of it."""
    content = read_folder(shipped()["washer-shake"])
    flow = load_files(content)
    home = tmp_path / "home"
    with Store(home, SystemClock()).begin(flow, content, "R. Vale") as opened:
        session = opened.session
        session.do(c.GiveAnswer(session.state.run.id, "danger", ("clear",)))
        while asked := next_queries.open_facts(session.view):
            fact = flow.fact(asked[0])
            assert fact is not None
            session.do(c.SetFact(fact.id, fact.usual or (fact.values[0].id if fact.values else "X1")))
        for command in (c.SetComplaint("It shakes."), c.OpenInspection("arrival")):
            session.do(command)
        session.do(c.GiveAnswer(session.state.run.id, "noises", ("ramp",)))
        return ours(home, "job", "--resume", opened.name)


def test_first_paint(env: dict[str, str], tmp_path: Path) -> None:
    """'Steadfoot' stands on the home screen within 1.3 times what the bare app takes, turn by turn."""
    pairs = [(painted(ours(tmp_path), env), painted(BARE, env)) for _ in range(RUNS)]
    mine, bare = (median(column) for column in zip(*pairs, strict=True))
    print(f"\nfirst paint: {mine * 1e3:.0f} ms, bare {bare * 1e3:.0f} ms, {mine / bare:.2f}x")
    within("first paint", mine / bare, 1.3, "a bare app")


def test_key_to_next_question(at_a_step: tuple[str, ...], env: dict[str, str]) -> None:
    """An answer and its undo by turns, each on the disk before its question is drawn, beside an echo of the bare app.

    The 95th percentile in the best of three rounds, and the median, in echoes.
    """
    steps = load_files(read_folder(shipped()["washer-shake"])).inspections["arrival"].steps
    asked = [(f"step {n + 1} of", steps[n].do[:16], steps[n].answers[-1].says[:12]) for n in (2, 1)]
    with running(at_a_step, env) as program, running(BARE, env) as app:
        begun(program), begun(app)
        mine, bare = [], []
        for number in range(KEYS):
            key = "1u"[number % 2]
            mine.append(echoed(program, key, *asked[number % 2]))
            bare.append(echoed(app, key, f"Question {number + 1} of"))
    third, ratio = KEYS // 3, median(mine) / median(bare)
    rounds = [
        (quantiles(mine[at : at + third], n=20)[-1], quantiles(bare[at : at + third], n=20)[-1])
        for at in range(0, KEYS, third)
    ]
    p95, echo = min(rounds, key=lambda one: one[0] / one[1])
    print(
        f"\nkey to next question: p95 {p95 * 1e3:.0f} ms beside {echo * 1e3:.0f} ms of an echo, "
        f"median {median(mine) * 1e3:.0f} ms, {ratio:.1f} echoes"
    )
    within("key to the next question, event on the disk, p95", p95 / echo, 3, "the echo of a bare app, p95")
    within("key to the next question, median", ratio, 3, "the echo of a bare app")


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="memory as Linux tells it")
def test_memory_on_a_step(at_a_step: tuple[str, ...], env: dict[str, str]) -> None:
    """On the screen of a step, with its ranking, at most twice the memory of the bare app."""
    mine, bare = remembered(at_a_step, env), remembered(BARE, env)
    print(f"\nmemory on a step: {mine // 1024} MB, bare {bare // 1024} MB, {mine / bare:.2f}x")
    within("memory on a step", mine / bare, 2, "a bare app")
