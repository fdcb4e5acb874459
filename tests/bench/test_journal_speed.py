"""Speed of the journal as ratios in one run, against what can't be avoided."""

import os
import time
import tomllib
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

from tests.bench.budget import within
from wizard.journal.journal_reader import read
from wizard.journal.journal_writer import Journal
from wizard.journal.sealed_block import START, encode


def event(number: int) -> dict[str, Any]:
    """An answer of usual size, about 450 bytes as a block."""
    return {
        "sequence": number,
        "kind": "measured",
        "wall": "2026-11-25T14:02:11.123456Z",
        "since": 1.25,
        "step": "dampers.pull",
        "readings": [{"value": 12.5 + number, "unit": "N", "tool": "pull-scale"}] * 3,
        "place": {"item": "left-front", "way": "out"},
    }


def seconds(run: Callable[[], object]) -> float:
    """The wall time of one call."""
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def test_append_costs_at_most_twice_a_bare_write_and_fsync(tmp_path: Path) -> None:
    """Encoding, sealing and guarding an event are small beside having the disk hold it (budget 2x)."""
    block = encode(event(1), START)[0]
    bare = os.open(tmp_path / "bare", os.O_CREAT | os.O_WRONLY | getattr(os, "O_BINARY", 0))

    def write_bare() -> None:
        os.write(bare, block)
        os.fsync(bare)

    ours, floor = [], []
    with Journal.create(tmp_path / "session") as journal:
        for number in range(400):
            ours.append(seconds(lambda number=number: journal.append(event(number))))
            floor.append(seconds(write_bare))
    os.close(bare)
    ratio = median(ours) / median(floor)
    print(f"append / write + fsync: {ratio:.2f}")
    within("an event appended, on the disk", ratio, 2.0, "a bare write and fsync")


def test_reading_and_verifying_costs_at_most_half_again_of_parsing(tmp_path: Path) -> None:
    """Every seal checked, every event handed out, against tomllib alone on the whole file (budget 1.5x)."""
    path, chain = tmp_path / "journal.toml", START
    with path.open("wb") as file:
        for number in range(1000):
            block, chain = encode(event(number), chain)
            file.write(block)
    pairs = [
        (seconds(lambda: read(path)), seconds(lambda: tomllib.loads(path.read_text(encoding="utf-8"))))
        for _ in range(7)
    ]
    ratio = min(ours for ours, _ in pairs) / min(parser for _, parser in pairs)
    print(f"read and verify / tomllib: {ratio:.2f}")
    assert len(read(path).events) == 1000
    within("a journal read and verified", ratio, 1.5, "the TOML parser alone")
