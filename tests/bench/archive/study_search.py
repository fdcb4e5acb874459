"""What a page of fifty costs over many sessions: ``python -m tests.bench.archive.study_search --rows 100000 --write``.

An index is filled with rows drawn from made sessions (``study_archive``), in a home of its own or in the database of
``--url``; ``--index`` names a home whose index is asked as it is. Each of some forty searches is asked several times,
by risk and by date in turns: words rare and common, one, two, or the beginning of one, alone and with a filter. The
unit is a bare query of the standard library's sqlite3 in the same run: FTS5 counts the hits of the same words in the
same file; it joins nothing and sorts nothing. ``--write`` puts the table into FIGURES.md.
"""

from __future__ import annotations

import argparse
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from statistics import median, quantiles

from tests.bench import made_sessions
from tests.bench.archive.study_archive import Figure, Rows, filled, written
from wizard.archive.archive_index import NAME, ArchiveIndex
from wizard.archive.archive_query import SIGN_TO_READ, ArchiveFilter, ArchiveOrder

HEAD = "## What a search costs over many sessions"
PAGE, TIMES = 50, 7
WORDS = ("washer", "spin", "bangs", "kestr", "moreau", "spin floor", "rubber neighbours", "b", "44", "zzz")
"""In every session, in half of them, in a twelfth, in none; two at once; one letter, and two figures."""

FILTERS = (
    ArchiveFilter(), ArchiveFilter(kind="front-loader"), ArchiveFilter(flag="no-proving"),
    ArchiveFilter(outcome="not-proved"), ArchiveFilter(since="2026-03", until="2026-05"),
    ArchiveFilter(sign=SIGN_TO_READ), ArchiveFilter(fault="dampers-worn"), ArchiveFilter(technician="vale"),
    ArchiveFilter(serial="4471"), ArchiveFilter(machine="ostara"), ArchiveFilter(part="damper", since="2026-11-20"),
    ArchiveFilter(flag="clock-back", outcome="proved", kind="top-hung"),
)  # fmt: skip
ALONE = (
    "import sys, time, pathlib\n"
    "began = time.perf_counter()\n"
    "from wizard.archive.archive_index import ArchiveIndex\n"
    "from wizard.archive.archive_query import ArchiveFilter\n"
    "with ArchiveIndex.open(pathlib.Path(sys.argv[1]), sys.argv[2]) as index:\n"
    "    index.find(ArchiveFilter(words='spin', kind='front-loader'), 50)\n"
    "took = time.perf_counter() - began\n"
    "lines = pathlib.Path('/proc/self/status').read_text().splitlines()\n"
    "print(took, next(line.split()[1] for line in lines if line.startswith('VmHWM')))\n"
)
"""A process that asks for one page; Linux tells its peak of memory."""


@dataclass(frozen=True, slots=True)
class SearchTimes:
    """One search, and the seconds of each time: of the page, of the processor for it, of the bare query beside it."""

    asked: ArchiveFilter
    pages: tuple[float, ...]
    worked: tuple[float, ...]
    bare: tuple[float, ...]
    counted: str

    @property
    def line(self) -> str:
        """It in a line."""
        asked = ", ".join(f"{name} {value!r}" for name, value in self.asked.asked) or "all"
        least, most = min(self.pages) * 1000, max(self.pages) * 1000
        return f"{least:7.1f} {most:7.1f} ms  {self.counted:>10}  by {self.asked.order}: {asked}"


def searches() -> Iterator[ArchiveFilter]:
    """Each of the words with three or four filters, and each filter without words."""
    pairs = [
        replace(one, words=words)
        for at, words in enumerate(WORDS)
        for number, one in enumerate(FILTERS)
        if (at + number) % 4 == 0
    ]
    for number, one in enumerate((*pairs, *FILTERS)):
        yield replace(one, order=tuple(ArchiveOrder)[number % 2])


def timed(index: ArchiveIndex, bare: sqlite3.Connection | None, asked: ArchiveFilter) -> SearchTimes:
    """Ask for a page some times, with the bare query in between where there is a file that it can ask."""
    wanted = " AND ".join(f'"{word}"*' for word in asked.words.split())
    whole = "SELECT count(*) FROM session_words WHERE session_words MATCH ?"
    pages, worked, bares = list[float](), list[float](), list[float]()
    for _ in range(TIMES):
        processor = time.process_time()
        pages.append(seconds(lambda: index.find(asked, PAGE)))
        worked.append(time.process_time() - processor)
        if bare is not None and wanted:
            bares.append(seconds(lambda: bare.execute(whole, (wanted,)).fetchone()))
    counted = index.find(asked, PAGE).counted
    return SearchTimes(asked, tuple(pages), tuple(worked), tuple(bares), counted)


def seconds(act: Callable[[], object]) -> float:
    """The wall time of one call."""
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def figures(found: Sequence[SearchTimes]) -> Iterator[Figure]:
    """What the searches took."""
    pages, worked, bare = (
        sorted(one for times in found for one in getattr(times, name)) for name in ("pages", "worked", "bare")
    )
    unit = median(bare) if bare else 0.0

    def said(took: float) -> str:
        return f"{took * 1000:.1f} ms" + (f", {took / unit:.1f}" if unit else "")

    yield Figure("searches, each asked", f"{len(found)}, {TIMES} times")
    if bare:
        p95 = quantiles(bare, n=20)[-1]
        yield Figure("bare count by FTS5: median, the unit; p95", f"{unit * 1000:.1f} ms; {said(p95)}")
    yield Figure("page of 50, least", said(pages[0]))
    yield Figure("page of 50, median", said(median(pages)))
    yield Figure("page of 50, p95", said(quantiles(pages, n=20)[-1]))
    yield Figure("page of 50, the slowest search at its best", said(max(min(times.pages) for times in found)))
    if bare:
        yield Figure("processor of a page, p95", said(quantiles(worked, n=20)[-1]))


def alone(root: Path, url: str) -> Figure:
    """A page of a process of its own, imports and all."""
    command = [sys.executable, "-c", ALONE, str(root), url]
    done = [
        subprocess.run(command, capture_output=True, text=True, check=True).stdout.split() for _ in range(5)
    ]
    took, memory = median(float(one[0]) for one in done), max(int(one[1]) for one in done)
    return Figure(
        "a process that asks for one page: its wall time, its memory", f"{took:.2f} s, {memory / 1024:.0f} MB"
    )


def study(index: ArchiveIndex, root: Path, each: bool) -> Iterator[Figure]:
    """All figures of an index that is filled."""
    bare = None if index.url else sqlite3.connect(root / NAME)
    found = []
    for asked in searches():
        found.append(timed(index, bare, asked))
        if each:
            print(found[-1].line, flush=True)
    if bare is not None:
        bare.close()
    yield from figures(found)
    if sys.platform == "linux":
        yield alone(root, index.url)
    if hasattr(os, "getloadavg"):
        yield Figure("load of the machine meanwhile, two cores", f"{os.getloadavg()[0]:.1f}")


def main() -> None:
    """Print the figures."""
    given = argparse.ArgumentParser(description="What a page of fifty costs over many sessions.")
    given.add_argument("--rows", type=int, default=100_000)
    given.add_argument("--seed", type=int, default=1)
    given.add_argument(
        "--url", default="", help="a PostgreSQL database, which is emptied unless there is --index"
    )
    given.add_argument("--index", type=Path, help="a home whose index, or that of --url, is asked as it is")
    given.add_argument("--each", action="store_true", help="a line a search as well")
    given.add_argument("--write", action="store_true", help="put the table into FIGURES.md")
    options = given.parse_args()
    work = Path(tempfile.mkdtemp(prefix="search-"))
    root = options.index or work / "rows"
    try:
        with ArchiveIndex.open(root, options.url) as index:
            if options.index is None:
                made_sessions.make_true(work / "shop", options.seed)
                index.clear()
                filled(index, Rows.of(work / "shop"), options.rows, options.seed)
            found = []
            for one in study(index, root, options.each):
                print(f"{one.what}: {one.text}", flush=True)
                found.append(one)
    finally:
        shutil.rmtree(work, ignore_errors=True)
    if options.write:
        where = "PostgreSQL" if options.url else "SQLite"
        written(HEAD, f"{options.rows:,} rows, {where}, by words", found)


if __name__ == "__main__":
    main()
