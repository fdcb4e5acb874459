"""What the archive and its trends cost: ``python -m tests.bench.archive.study_archive --rows 100000 --write``.

Some sessions are made by a seed (``tests.bench.made_sessions``), read and looked at: that is the build rate. A process
that builds is killed and another goes on: the index must be that of one go. Then so many rows, each of one of these
sessions with an id, a day, a serial number of its own, and with noise in what it says, fill an index in a home of its
own or in the database of ``--url``, and a page and trends are asked of it; searches have ``study_search``. ``--write``
puts the table into FIGURES.md under its heading; the unit there is what the TOML parser alone takes for a journal.
"""

from __future__ import annotations

import argparse
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

import tomli

from tests.bench import made_sessions
from wizard.archive.across.crossing import CrossingKind
from wizard.archive.across.crossings import crossings
from wizard.archive.archive_index import NAME, ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
from wizard.archive.archive_rows import take_stock
from wizard.archive.bringing_up import bring_up
from wizard.archive.facts_reading import facts_of
from wizard.archive.session_appraisal import SessionAppraisal, appraise
from wizard.archive.session_facts import SessionFacts
from wizard.archive.tally_kinds import SessionTally
from wizard.archive.traces.session_traces import ReadingRow, SessionTraces
from wizard.archive.traces.traces_reading import mark_of
from wizard.archive.trend_cell import GROUPS, TrendKind
from wizard.archive.trends.trend_table import TrendAsked, trend_table
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.thresholds import shipped
from wizard.sessions.many_sessions import ManySessions, NoClock
from wizard.sessions.session_store import Store

FIGURES = Path(__file__).parents[1] / "FIGURES.md"
HEAD = "## What trends cost over many sessions"
BATCH = 500
DAYS, LEAST_MADE = 700, 24
TODAY = made_sessions.FIRST_DAY.toordinal() + DAYS
KILLED = (
    "import sys, pathlib\n"
    "from wizard.archive.archive_index import ArchiveIndex\n"
    "from wizard.archive.bringing_up import bring_up\n"
    "from wizard.sessions.many_sessions import NoClock\n"
    "from wizard.sessions.session_store import Store\n"
    "def say(what, done, of):\n"
    "    print(done, flush=True)\n"
    "    return True\n"
    "store = Store(pathlib.Path(sys.argv[1]), NoClock(), lambda digest: True)\n"
    "bring_up(ArchiveIndex.open(store.root), store, closely=False, processes=1, say=say)\n"
)


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: what was measured, and how it is said."""

    what: str
    text: str


def seconds(act: Callable[[], object]) -> float:
    """The wall time of one call."""
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def built(root: Path, count: int, seed: int) -> Iterator[Figure]:
    """Make sessions, read them, look at them; kill a build and go on."""
    took = seconds(lambda: made_sessions.make(root, count, seed, min(count, made_sessions.TEMPLATES)))
    yield Figure("sessions made, 24 jobs played among them", f"{count} in {took:.0f} s")
    store = Store(root, NoClock(), sound)
    with ArchiveIndex.open(root) as index:
        reading = seconds(lambda: bring_up(index, store, closely=False, processes=2))
        looking = seconds(lambda: bring_up(index, store, processes=2))
        whole = index.find(ArchiveFilter(order=ArchiveOrder.NEWEST)).rows
    yield Figure("read, two processes", f"{count / reading:.0f} a second")
    yield Figure("verified, decided again, all flags and tallies", f"{count / looking:.1f} a second")
    index_file = root / NAME
    for path in root.glob(f"{NAME}*"):
        path.unlink()
    child = subprocess.Popen([sys.executable, "-c", KILLED, str(root)], stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    while int(child.stdout.readline() or count) < count // 2:
        pass
    os.kill(child.pid, signal.SIGKILL)
    child.wait()
    child.stdout.close()
    with ArchiveIndex.open(root) as index:
        kept = len(index.fingerprints())
        bring_up(index, store, processes=2)
        same = index.find(ArchiveFilter(order=ArchiveOrder.NEWEST)).rows == whole
    assert index_file.exists() and 0 < kept < count and same
    yield Figure(
        "killed in the middle, then gone on with", f"{kept} of {count} were kept; the same rows as of one go"
    )


def sound(_digest: str) -> bool:
    """Every flow here is one of this program's own."""
    return True


@dataclass(frozen=True, slots=True)
class Rows:
    """Real sessions to draw rows from: what is known of each, and what a closer look found."""

    facts: tuple[SessionFacts, ...]
    looks: tuple[SessionAppraisal, ...]

    @classmethod
    def of(cls, root: Path) -> Rows:
        """Those of a home."""
        store = ManySessions(root, NoClock(), sound)
        facts = [facts_of(store, name) for name in store.home.list_ids()]
        return cls(tuple(facts), tuple(appraise(store, one, shipped()) for one in facts))

    def drawn(self, count: int, seed: int) -> Iterator[tuple[SessionFacts, SessionAppraisal]]:
        """So many rows, each with an id, a day and a serial number of its own; one in fifteen is at a machine
        of before.
        """
        rng, serials = Random(seed), [""]
        first, swap = made_sessions.FIRST_DAY, str.maketrans("01", "xy")
        for number in range(count):
            at = rng.randrange(len(self.facts))
            one, look = self.facts[at], self.looks[at]
            day = first.fromordinal(first.toordinal() + number * DAYS // count).isoformat()
            name = f"{day}-a-{f'{number:06d}'.translate(swap)}"
            again = rng.random() < 1 / 15
            serial = rng.choice(serials[-3000:]) if again else f"{rng.randrange(10**7):07d}"
            serials.append(serial)
            words = one.words.replace(one.session, name)
            words = words.replace(one.serial, serial) if one.serial else words
            maker = "Ostara" if again else one.maker
            made = replace(one, session=name, day=day, ended=day, serial=serial, maker=maker, words=words)
            made = replace(made, traces=_moved(one.traces, number * DAYS // count, rng))
            flags = tuple(rng.sample(tuple(FlagId), rng.randrange(3)))
            tallies = tuple(_noisy(tally, rng) for tally in look.tallies)
            yield made, replace(look, session=name, flags=flags, risk=rng.randrange(90), tallies=tallies)


def _moved(left: SessionTraces, day: int, rng: Random) -> SessionTraces:
    """The same on another day, at another hour, with other readings but once in two hundred."""
    later = day * 86_400 + rng.randrange(8 * 3600)
    stretches = tuple(replace(s, begin=s.begin + later, end=s.end + later) for s in left.stretches)
    rows = left.rows if rng.random() < 0.005 else tuple(_read_anew(row, rng) for row in left.rows)
    return SessionTraces(left.files, rows, stretches)


def _read_anew(row: ReadingRow, rng: Random) -> ReadingRow:
    """Each reading some steps of its tool up or down."""
    moved = (float(v) + round(rng.gauss(0, 6)) * (row.grain or 1.0) for v in row.readings.split())
    readings = " ".join(f"{value:.10g}" for value in moved)
    return replace(row, readings=readings, mark=mark_of(row.step, readings))


def _noisy(tally: SessionTally, rng: Random) -> SessionTally:
    """The same with another time, and a hit now and then: copies of a few sessions would have no spread."""
    amount = tally.amount + round(rng.gauss(0, 35)) if tally.own else tally.amount
    return replace(tally, amount=amount, hit=tally.hit != (rng.random() < 0.03))


def filled(index: ArchiveIndex, rows: Rows, count: int, seed: int) -> float:
    """Put the rows; the seconds that the database took for it."""
    took, batch = 0.0, list[tuple[SessionFacts, SessionAppraisal]]()
    for pair in rows.drawn(count, seed):
        batch.append(pair)
        if len(batch) == BATCH:
            took += seconds(lambda: _put(index, batch))
            batch.clear()
    took += seconds(lambda: _put(index, batch))
    with index.begin() as db:
        take_stock(db, index.text)
    return took


def _put(index: ArchiveIndex, batch: Sequence[tuple[SessionFacts, SessionAppraisal]]) -> None:
    if batch:
        index.put([("mark", facts) for facts, _look in batch])
        index.appraised([look for _facts, look in batch])


def asked(index: ArchiveIndex, unit: float) -> Iterator[Figure]:
    """A page and the trends, each in seconds and in journals parsed."""

    def said(took: float) -> str:
        return f"{took:.3f} s, {took / unit:.1f} journals"

    yield Figure(
        "first page by risk", said(min(seconds(lambda: index.find(ArchiveFilter(), 500)) for _ in range(5)))
    )
    for kind in TrendKind:
        took = seconds(lambda kind=kind: trend_table(index, TrendAsked(kind, TODAY)))
        yield Figure(f"trend {kind}, by {GROUPS[kind][0].word}", said(took))
    some = ArchiveFilter(kind="front-loader", technician="vale")
    took = seconds(lambda: trend_table(index, TrendAsked(TrendKind.BACK, TODAY, among=some)))
    yield Figure("trend back of one kind and technician", said(took))
    for crossing in CrossingKind:
        took = seconds(lambda kind=crossing: crossings(index, (kind,)))
        yield Figure(f"met again, {crossing}", said(took))
    row = trend_table(index, TrendAsked(TrendKind.BACK, TODAY))
    cell = ArchiveFilter(cell=row.cell(row.rows[3], True))
    yield Figure("a figure opened down to its sessions", said(seconds(lambda: index.find(cell, 500))))


MEMORY = (
    "import sys, pathlib\n"
    "def peak():\n"
    "    lines = pathlib.Path('/proc/self/status').read_text().splitlines()\n"
    "    return next(int(line.split()[1]) for line in lines if line.startswith('VmHWM'))\n"
    "from wizard.archive.across.crossings import crossings\n"
    "from wizard.archive.archive_index import ArchiveIndex\n"
    "from wizard.archive.archive_query import ArchiveFilter\n"
    "from wizard.archive.trend_cell import TrendKind\n"
    "from wizard.archive.trends.trend_table import TrendAsked, trend_table\n"
    "with ArchiveIndex.open(pathlib.Path(sys.argv[1]), sys.argv[2]) as index:\n"
    "    index.find(ArchiveFilter(words='bangs'), 500)\n"
    "    print(peak())\n"
    "    for kind in TrendKind:\n"
    "        trend_table(index, TrendAsked(kind, 800000))\n"
    "    print(peak())\n"
    "    crossings(index)\n"
    "print(peak())\n"
)


def memory(root: Path, url: str) -> Figure:
    """Of a process that finds a page, and of one that asks for all trends after it. Linux tells it; what the system
    counts for a process that another began has the peak of that one in it.
    """
    command = [sys.executable, "-c", MEMORY, str(root), url]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    page, trends, again = (int(line) / 1024 for line in done.stdout.split())
    what = "memory of a page, of all trends as well, of what is met again too"
    return Figure(what, f"{page:.0f} MB, {trends:.0f} MB, {again:.0f} MB")


def size(index: ArchiveIndex, root: Path, count: int) -> Figure:
    """Bytes of the index a session."""
    if index.url:
        from sqlalchemy import text

        with index.begin() as db:
            whole = int(db.scalar(text("SELECT pg_database_size(current_database())")) or 0)
    else:
        whole = sum(path.stat().st_size for path in root.glob(f"{NAME}*"))
    return Figure("bytes of the index a session", f"{whole / count:.0f}")


def study(made: int, count: int, seed: int, url: str) -> Iterator[Figure]:
    """All figures, in order."""
    work = Path(tempfile.mkdtemp(prefix="study-"))
    try:
        yield from built(work / "shop", made, seed)
        journals = sorted((work / "shop").glob("sessions/*/journal.toml"))
        texts = [path.read_text(encoding="utf-8") for path in journals]
        unit = min(seconds(lambda: [tomli.loads(text) for text in texts]) for _ in range(2)) / len(texts)
        yield Figure("one journal parsed, the unit", f"{unit * 1000:.0f} ms")
        rows = Rows.of(work / "shop")
        with ArchiveIndex.open(work / "rows", url) as index:
            index.clear()
            took = filled(index, rows, count, seed)
            yield Figure("rows kept", f"{count / took:.0f} a second, {took / count / unit:.2f} journals each")
            yield size(index, work / "rows", count)
            yield from asked(index, unit)
        yield memory(work / "rows", url)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def written(head: str, title: str, figures: Sequence[Figure]) -> None:
    """Put a table into FIGURES.md under a heading, in place of the one of the same title."""
    rows = "\n".join(f"| {one.what} | {one.text} |" for one in figures)
    table = f"### {title}\n\n| what | |\n|---|---|\n{rows}\n"
    text = FIGURES.read_text(encoding="utf-8")
    if head not in text:
        text = f"{text.rstrip()}\n\n{head}\n"
    before, _, rest = text.partition(head)
    section, sign, after = rest.partition("\n## ")
    old, found, tail = section.partition(f"### {title}\n")
    others = tail.partition("\n### ")
    kept = f"\n### {others[2].strip()}\n" if found and others[1] else ""
    section = f"{old.rstrip()}\n\n{table}{kept}"
    FIGURES.write_text(f"{before}{head}{section}{sign}{after}", encoding="utf-8")


def main() -> None:
    """Print the figures as they come."""
    given = argparse.ArgumentParser(description="What the archive and its trends cost.")
    given.add_argument("--made", type=int, default=120, help="sessions that are made, read and looked at")
    given.add_argument("--rows", type=int, default=100_000)
    given.add_argument("--seed", type=int, default=1)
    given.add_argument("--url", default="", help="a PostgreSQL database, which is emptied")
    given.add_argument("--write", action="store_true", help="put the table into FIGURES.md")
    options = given.parse_args()
    if options.made < LEAST_MADE:
        given.error(f"--made: {LEAST_MADE} at least, so that a build can be killed in its middle")
    where = "PostgreSQL" if options.url else "SQLite"
    figures = []
    for one in study(options.made, options.rows, options.seed, options.url):
        print(f"{one.what}: {one.text}", flush=True)
        figures.append(one)
    if options.write:
        written(HEAD, f"{options.rows:,} rows, {where}", figures)


if __name__ == "__main__":
    main()
