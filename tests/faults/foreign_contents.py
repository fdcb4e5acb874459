"""Every reader of what comes from elsewhere, on contents that hypothesis makes: time, memory, and what is wrong.

Each reader runs in a process of its own, so that what one leaves in memory is not another's.
"""

from __future__ import annotations

import json
import os
import resource
import shutil
import time
import traceback
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import seed as seeded

from tests.foreign.test_every_reader import READERS, contents

HANG, MEMORY = 5.0, 500.0
"""Seconds that one content may take, and megabytes that a reader may take in all."""


@dataclass(frozen=True)
class Fuzzed:
    """What came of one reader: ``longest`` s of one content, ``grown`` MB; ``wrong``: a traceback, or too much."""

    reader: str
    contents: int
    longest: float
    grown: float
    wrong: str = ""


def readers() -> tuple[str, ...]:
    """The readers' names."""
    return tuple(reader.__name__ for reader in READERS)


def fuzzed(name: str, count: int, seed: int) -> Fuzzed:
    """One reader on so many contents."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        os.write(writing, json.dumps(_tried(name, count, seed)).encode())
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as heard:
        said = heard.read()
    os.waitpid(child, 0)
    return Fuzzed(name, *json.loads(said)) if said else Fuzzed(name, 0, 0.0, 0.0, "its process ended")


def _tried(name: str, count: int, seed: int) -> tuple[int, float, float, str]:
    reader = next(r for r in READERS if r.__name__ == name)
    folder = Path(mkdtemp(prefix="contents-"))
    before, done, longest = _memory(), 0, 0.0

    @seeded(seed)
    @settings(
        max_examples=count, deadline=None, database=None, suppress_health_check=list(HealthCheck),
        phases=(Phase.generate,),
    )  # fmt: skip
    @given(contents)
    def one(data: bytes) -> None:
        nonlocal done, longest
        began = time.process_time()
        reader(folder, data)
        done, longest = done + 1, max(longest, time.process_time() - began)

    wrong = ""
    try:
        one()
    except Exception:
        wrong = traceback.format_exc()[-600:]
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    grown = _memory() - before
    if longest > HANG or grown > MEMORY:
        wrong = wrong or f"{longest:.1f} s, {grown:.0f} MB"
    return done, longest, grown, wrong


def _memory() -> float:
    """The most that this process has taken, MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
