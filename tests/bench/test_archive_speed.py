"""What the archive costs, as ratios in one run to the TOML parser alone on one journal of the same sessions.

Run with: python -m pytest -o addopts= -s tests/bench/test_archive_speed.py
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from random import Random
from statistics import median, quantiles

import pytest
import tomli

from tests.bench import made_sessions
from tests.bench.terminal.ptys import Pty, warm
from tests.helpers.stored_sessions import store_at
from wizard.archive.archive_index import NAME, ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
from wizard.archive.bringing_up import BroughtUp, bring_up
from wizard.archive.facts_reading import facts_of
from wizard.archive.folder_scan import fingerprint_of
from wizard.archive.session_appraisal import SessionAppraisal, appraise
from wizard.archive.session_facts import SessionFacts
from wizard.journal import session_name
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.thresholds import shipped
from wizard.sessions.many_sessions import ManySessions, NoClock

SESSIONS, TEMPLATES = 40, 6
SIZES = (3_000, 20_000)
HOMES = (30, 3_000)
RUNS = 7


def seconds(act: Callable[[], object]) -> float:
    """The wall time of one call."""
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Some made sessions."""
    root = tmp_path_factory.mktemp("shop")
    made_sessions.make(root, SESSIONS, 1, TEMPLATES)
    return root


@pytest.fixture(scope="module")
def journals(home: Path) -> list[Path]:
    """Their journals."""
    return sorted(home.glob("sessions/*/journal.toml"))


@pytest.fixture(scope="module")
def parser(journals: list[Path]) -> float:
    """Seconds that the parser alone takes for one of the journals, in the mean of all."""
    texts = [path.read_text(encoding="utf-8") for path in journals]
    return min(seconds(lambda: [tomli.loads(text) for text in texts]) for _ in range(3)) / len(texts)


@pytest.fixture(scope="module")
def facts(home: Path) -> list[SessionFacts]:
    """What is known of them."""
    store = ManySessions(home, NoClock(), lambda _digest: True)
    return [facts_of(store, name) for name in store.home.list_ids()]


def mark(number: int) -> str:
    """A session's mark of its own for a number."""
    letters, found = session_name.MARK_LETTERS, ""
    for _ in range(session_name.MARK_LENGTH):
        number, at = divmod(number, len(letters))
        found += letters[at]
    return found


def many(facts: list[SessionFacts], count: int) -> list[SessionFacts]:
    """So many rows: those of real sessions, each with an id, a serial and a ticket of its own, over a year."""
    rng, found = Random(count), []
    for number in range(count):
        one = rng.choice(facts)
        day = made_sessions.FIRST_DAY.toordinal() + number * 360 // count
        name = f"{made_sessions.date.fromordinal(day).isoformat()}-a-{mark(number)}"
        serial = f"{rng.randrange(10**7):07d}"
        words = one.words.replace(one.serial, serial).replace(one.session, name) if one.serial else one.words
        found.append(replace(one, session=name, day=name[:10], serial=serial, words=words))
    return found


def filled(root: Path, rows: list[SessionFacts]) -> tuple[ArchiveIndex, float]:
    """An index with these rows, each looked at, and the seconds that it took."""
    index, rng = ArchiveIndex.open(root), Random(1)
    began = time.perf_counter()
    for at in range(0, len(rows), 100):
        some = rows[at : at + 100]
        index.put([("mark", one) for one in some])
        flags = [tuple(rng.sample(tuple(FlagId), rng.randrange(3))) for _ in some]
        index.appraised(
            [
                SessionAppraisal(one.session, "", f, rng.randrange(90), ("why",))
                for one, f in zip(some, flags, strict=True)
            ]
        )
    return index, time.perf_counter() - began


def test_reading_and_looking_against_the_parser(home: Path, parser: float, facts: list[SessionFacts]) -> None:
    """Facts at most 8 times the parser, a closer look (every event decided again, all flags) at most 40 times."""
    store = ManySessions(home, NoClock(), lambda _digest: True)
    names = store.home.list_ids()

    def read() -> None:
        for name in names:
            store.forget()
            facts_of(store, name)

    def look() -> None:
        for one in facts:
            store.forget()
            appraise(store, one, shipped())

    look()
    reading, looking = seconds(read) / len(names) / parser, seconds(look) / len(names) / parser
    print(
        f"\nfacts / parser: {reading:.1f}; closer look / parser: {looking:.1f}; parser {parser * 1000:.1f} ms"
    )
    assert reading <= 8 and looking <= 40


@pytest.mark.parametrize("size", SIZES)
def test_searching_against_the_parser(
    tmp_path: Path, parser: float, facts: list[SessionFacts], journals: list[Path], size: int
) -> None:
    """Keeping a row costs less than parsing a journal once; a page and a search at most as 40 journals; the index is
    a twentieth of the journals at most.
    """
    index, took = filled(tmp_path, many(facts, size))
    with index:
        first = min(seconds(lambda: index.find(ArchiveFilter(), 20)) for _ in range(RUNS))
        newest = min(
            seconds(lambda: index.find(ArchiveFilter(order=ArchiveOrder.NEWEST), 20)) for _ in range(RUNS)
        )
        asked = [
            ArchiveFilter(words="bangs"), ArchiveFilter(words="spin floor"), ArchiveFilter(words="kestr"),
            ArchiveFilter(serial="4471"), ArchiveFilter(technician="vale", sign="unsigned"),
            ArchiveFilter(flag="no-proving"),
            ArchiveFilter(words="rubber", since="2026-03", until="2026-05"),
            ArchiveFilter(fault="dampers", kind="front-loader"),
            ArchiveFilter(outcome="not-proved", order=ArchiveOrder.NEWEST), ArchiveFilter(words="zzz"),
        ]  # fmt: skip
        times = [seconds(lambda one=one: index.find(one, 20)) for _ in range(5) for one in asked]
    p95 = quantiles(times, n=20)[-1]
    whole = sum(path.stat().st_size for path in journals) / len(journals)
    kept = sum(path.stat().st_size for path in tmp_path.glob(f"{NAME}*")) / size
    print(
        f"\n{size}: kept / parser {took / size / parser:.2f}; first page {first / parser:.1f}, newest "
        f"{newest / parser:.1f}, search median {median(times) / parser:.1f}, p95 {p95 / parser:.1f} journals; "
        f"{kept:.0f} bytes a session, {kept / whole:.4f} of its journal"
    )
    assert took / size <= parser and max(first, newest, p95) <= 40 * parser and kept <= whole / 20


@pytest.mark.skipif(
    sys.platform != "linux", reason="what the system counts elsewhere has its parent's peak in it"
)
def test_memory_does_not_grow_with_the_sessions(tmp_path: Path, facts: list[SessionFacts]) -> None:
    """A process that finds a page takes at 20,000 at most a fifth more than at 3,000."""
    code = (
        "import sys, pathlib\n"
        "from wizard.archive.archive_index import ArchiveIndex\n"
        "from wizard.archive.archive_query import ArchiveFilter\n"
        "with ArchiveIndex.open(pathlib.Path(sys.argv[1])) as index:\n"
        "    index.find(ArchiveFilter(words='bangs'), 20)\n"
        "lines = pathlib.Path('/proc/self/status').read_text().splitlines()\n"
        "print(next(line.split()[1] for line in lines if line.startswith('VmHWM')))\n"
    )
    found = []
    for size in SIZES:
        root = tmp_path / str(size)
        filled(root, many(facts, size))[0].close()
        done = subprocess.run(
            [sys.executable, "-c", code, str(root)], capture_output=True, text=True, check=True
        )
        found.append(int(done.stdout))
    print(f"\nmemory at {SIZES[1]} / at {SIZES[0]}: {found[1] / found[0]:.2f} ({found[0] / 1000:.0f} MB)")
    assert found[1] <= 1.2 * found[0]


def test_broken_off_and_resumed_costs_little_more_than_one_go(home: Path) -> None:
    """Broken off after every batch, the reading of all takes at most half as long again."""
    store = store_at(home)

    def build(batches: int) -> float:
        (home / NAME).unlink(missing_ok=True)
        began = time.perf_counter()
        while True:
            left = [batches]

            def go_on(_what: object, _done: int, _of: int, left: list[int] = left) -> bool:
                left[0] -= 1
                return left[0] > 0

            with ArchiveIndex.open(home) as index:
                if bring_up(index, store, closely=False, processes=1, say=go_on) == BroughtUp():
                    return time.perf_counter() - began

    build(1_000)
    whole, parts = build(1_000), build(2)
    print(f"\nbroken off after each batch / in one go: {parts / whole:.2f}")
    assert parts <= 1.5 * whole


def test_the_list_of_3000_sessions_against_that_of_30(
    tmp_path: Path, facts: list[SessionFacts], journals: list[Path]
) -> None:
    """``session list`` where the index is up: a process for 3,000 takes at most two and a half times one for 30,
    start included; 30 take about a quarter of a second of the processor.
    """
    took: dict[int, list[float]] = {count: [] for count in HOMES}
    for count in HOMES:
        root = tmp_path / str(count)
        index, _seconds = filled(root, [])
        with index:
            some = []
            for one in many(facts, count):
                folder = root / "sessions" / one.session
                folder.mkdir(parents=True)
                os.link(journals[0], folder / "journal.toml")
                some.append((fingerprint_of(folder), one))
            index.put(some)
        for _ in range(RUNS):
            command = [sys.executable, "-m", "wizard.cli", "--home", str(root), "session", "list"]
            began = time.perf_counter()
            done = subprocess.run(command, capture_output=True, text=True, check=True)
            took[count].append(time.perf_counter() - began)
            assert len(done.stdout.splitlines()) == count + 1 and not done.stderr
    few, all_of = (median(took[count]) for count in HOMES)
    print(f"\nsession list of {HOMES[1]} / of {HOMES[0]}: {all_of / few:.2f} ({all_of:.2f} s)")
    assert all_of <= 2.5 * few


@pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them")
def test_home_paints_as_fast_with_3000_sessions_as_with_30(tmp_path: Path, journals: list[Path]) -> None:
    """Until its name stands there, and until the newest session does: at most a quarter more."""
    env = warm(tmp_path / "cache")
    homes = []
    for count in HOMES:
        root = tmp_path / f"home-{count}"
        for number in range(count):
            day = made_sessions.date.fromordinal(made_sessions.FIRST_DAY.toordinal() + number // 10)
            folder = root / "sessions" / f"{day.isoformat()}-{'abcdefghij'[number % 10]}-k7m3qd"
            folder.mkdir(parents=True)
            os.link(journals[0], folder / "journal.toml")
        homes.append(root)
    painted: dict[int, list[float]] = {count: [] for count in HOMES}
    listed: dict[int, list[float]] = {count: [] for count in HOMES}
    for _ in range(RUNS + 1):
        for count, root in zip(HOMES, homes, strict=True):
            run = Pty(("-m", "wizard.cli", "--home", str(root)), env)
            try:
                painted[count].append(run.until("Steadfoot"))
                newest = max(p.name for p in (root / "sessions").iterdir())[:12]
                listed[count].append(run.until(newest))
            finally:
                run.end()
    first, rows = (median(some[HOMES[1]][1:]) / median(some[HOMES[0]][1:]) for some in (painted, listed))
    print(
        f"\nhome with {HOMES[1]} / {HOMES[0]} sessions: painted {first:.2f}, newest session listed {rows:.2f}"
    )
    assert first <= 1.25 and rows <= 1.25
