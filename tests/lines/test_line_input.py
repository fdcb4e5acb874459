"""Lines come in with the moment when they came, and what no line end follows is nobody's answer."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from time import monotonic, sleep

import pytest

from wizard.lines.terminal.line_input import MOST, InputOver, LineInput

ROOT = Path(__file__).parents[2]


@pytest.fixture
def pipe():
    """A line input on a pipe, and the end that is written to."""
    reading, writing = os.pipe()
    yield LineInput(reading, "utf-8", monotonic), writing
    os.close(reading)


def test_lines_come_one_by_one_and_the_end_is_met_once_they_are_read(pipe) -> None:
    """Line ends of both kinds; a half line before the end is dropped, since nobody pressed Enter behind it."""
    lines, writing = pipe
    os.write(writing, "one\r\nzwei é\n3".encode())
    os.close(writing)
    assert [lines.next(5).text, lines.next(5).text] == ["one", "zwei é"]
    for _ in range(2):
        with pytest.raises(InputOver):
            lines.next(5)


def test_what_piled_up_is_given_at_once(pipe) -> None:
    """All that came already; then nothing is there, and nothing comes in the time given."""
    lines, writing = pipe
    os.write(writing, b"1\n2\n3\n")
    first = lines.next(5)
    sleep(0.1)
    assert first.text == "1" and [line.text for line in lines.waiting()] == ["2", "3"]
    assert lines.waiting() == () and lines.next(0.01) is None
    os.close(writing)


def test_bytes_without_an_end_are_not_kept_without_end(pipe) -> None:
    """A line of megabytes is cut where no question takes more; what is no UTF-8 is read all the same."""
    lines, writing = pipe
    with os.fdopen(writing, "wb", buffering=0) as into:
        for _ in range(40):
            into.write(b"x" * 65_536)
        into.write(b"\nafter \xff\n")
    assert len(lines.next(20).text) <= MOST
    assert lines.next(5).text == "after \ufffd"


NOT_BLOCKING = """
import os
from time import monotonic
from wizard.lines.terminal.line_input import InputOver, LineInput

reading, writing = os.pipe()
os.set_blocking(reading, False)
lines = LineInput(reading, "utf-8", monotonic)
assert lines.next(0.3) is None
os.write(writing, b"late\\n")
assert lines.next(10).text == "late" and lines.next(0.1) is None
assert not os.get_blocking(reading), "it is shared with whoever set it"
os.close(writing)
try:
    lines.next(10)
except InputOver:
    pass
else:
    raise AssertionError("it went on after its end")
"""


@pytest.mark.skipif(sys.platform == "win32", reason="a pipe that does not block, as POSIX has it")
def test_a_pipe_that_does_not_block_is_waited_for() -> None:
    """Whoever started the program may have set it so: with nothing to read yet, the input counted as ended. In its own
    process, where no reader of another test waits at a number that is given anew.
    """
    done = subprocess.run(
        [sys.executable, "-c", NOT_BLOCKING], cwd=ROOT, capture_output=True, encoding="utf-8", timeout=60
    )
    assert (done.returncode, done.stderr) == (0, "")
