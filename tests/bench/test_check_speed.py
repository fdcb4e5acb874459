"""The check of the shipped flow, its start included, against what any such check takes, each in a Python of its own.

Run with: python -m pytest -o addopts= -s tests/bench/test_check_speed.py
"""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

from tests.bench.budget import within
from tests.bench.terminal.ptys import ROOT, warm

TOLD = "\nimport sys, time\nprint(time.process_time(), file=sys.stderr)"
CHECK = "from wizard.cli.main import main\nassert main(['flow', 'check', 'washer-shake']) == 0"
FLOOR = """
import click, pathlib, pydantic, tomllib, tree_sitter, tree_sitter_toml
parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
class Table(pydantic.BaseModel):
    a: int
folders = pathlib.Path("flows/washer-shake"), pathlib.Path("flows/library")
files = [path for folder in folders for path in folder.rglob("*.toml")]
for path in (*files, pathlib.Path("flows/washer-shake.approved.toml")):
    data = path.read_bytes()
    tomllib.loads(data.decode())
    parser.parse(data)
"""
"""What a check built the plain way takes before it looks at anything: importing click, pydantic and tree-sitter, and
parsing the same files (the flow's, the library's, its approval) with both parsers."""


def spent(code: str, env: Mapping[str, str]) -> float:
    """The processor seconds of a Python that runs this, from its start."""
    done = subprocess.run(
        [sys.executable, "-c", code + TOLD],
        capture_output=True,
        encoding="utf-8",
        cwd=ROOT,
        env=env,
        timeout=60,
    )
    assert done.returncode == 0, done.stderr
    return float(done.stderr.split()[-1])


def test_check_of_the_washer(tmp_path: Path) -> None:
    """At most 2.7 times the floor (0.46 s where the floor takes 0.17 s), the best of five by turns."""
    env = warm(tmp_path)
    pairs = [(spent(CHECK, env), spent(FLOOR, env)) for _ in range(6)][1:]
    mine, floor = (min(column) for column in zip(*pairs, strict=True))
    print(f"\nflow check washer-shake: {mine:.2f} s, floor {floor:.2f} s, {mine / floor:.2f}x")
    within(
        "flow check washer-shake, start included",
        mine / floor,
        2.7,
        "importing its libraries and parsing the same files",
    )
