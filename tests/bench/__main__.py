"""``python -m tests.bench [PART ...]``, from the project's folder: every budget measured, each against its baseline.

Prints a table of ratio, bound, pass or SHORT; ends with 1 where one is short. A PART is what the names of the files of
``tests/bench`` that are wanted hold, such as 'screen'. On a computer that does other things too a budget may be short
that is kept on a quiet one: the load stands above the table.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from pathlib import Path

import pytest

from tests.bench.budget import HEAD, ROWS

HERE = Path(__file__).parent


def main(parts: list[str]) -> int:
    """Run the benchmarks of these parts, of all if none is named."""
    files = [p for p in sorted(HERE.rglob("test_*.py")) if not parts or any(part in p.name for part in parts)]
    if not files:
        print(f"No benchmark's name holds {' or '.join(parts)}.", file=sys.stderr)
        return 2
    failed = []
    for path in files:
        print(f"{path.name} ...", file=sys.stderr, flush=True)
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            code = pytest.main(
                ["-o", "addopts=", "-q", "--benchmark-disable", "-p", "no:cacheprovider", str(path)]
            )
        if code not in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED):
            failed.append(path.name)
            print(said.getvalue()[-2000:], file=sys.stderr)
    load = f"{os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "not known"
    print(
        f"Load at the end: {load}, {os.cpu_count()} processors.\n",
        *HEAD,
        *(row.line for row in ROWS),
        sep="\n",
    )
    if failed:
        print(f"\nNot passed: {', '.join(failed)}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
