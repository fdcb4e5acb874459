"""A long text that comes as keys, from a clipboard that the terminal doesn't bracket: dropped where it comes in."""

from __future__ import annotations

import sys
import time
from pathlib import Path

import pytest

from tests.helpers.stored_sessions import home_at

pytestmark = [
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform != "linux", reason="it asks /proc what a program has taken"),
]
if sys.platform == "linux":
    from tests.helpers.terminal_program.terminal_modes import ModedProgram

KEYS = 358_000
MOST_MEMORY = 60.0
"""MB beyond those of the start; it took 529."""

MOST_TIME = 8.0
"""Times what the program took to start: reading so many bytes costs something. It took 32 s and more."""


def test_a_text_of_358_kb_as_keys_costs_little_and_keys_are_heard_after_it(tmp_path: Path) -> None:
    """In the real program: memory, and the processor's time as a ratio to that of its start."""
    home_at(tmp_path / "home")
    program = ModedProgram(tmp_path / "home", "job", "--flow", "washer-shake")
    try:
        program.drawn(b"Who does this job?")
        program.read(1.0)
        began, before = program.taken()
        program.flood(b"wet " * (KEYS // 4))
        program.read(3.0)
        after, most = program.taken()
        assert most - before < MOST_MEMORY and after - began < MOST_TIME * began, (
            most - before,
            after - began,
            began,
        )
        time.sleep(1.5)
        program.put(b"\x1b[24~")
        assert program.ended() == 0
    finally:
        program.close()
