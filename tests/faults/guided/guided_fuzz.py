"""Contents that coverage leads, a reader at a time, each in a process of its own: ``python -m tests.faults --guided``.

It needs atheris (the extra ``fuzz``), which there is for Linux; without it nothing is tried, and that is said.
"""

from __future__ import annotations

import importlib.util
import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from tempfile import mkdtemp

from tests.faults.guided.content_seeds import seeds, words_of
from tests.faults.guided.fuzz_limits import HANG, LONGEST, MARGIN, MEMORY

FOUND = Path(__file__).parent / "found"
"""A folder a reader, with small contents that once went wrong: a test plays them through the readers."""

LEFT_OUT = (
    "Nothing was tried under coverage: atheris is not installed. There are wheels for Linux: "
    "pip install -e '.[test,fuzz]'."
)


@dataclass(frozen=True)
class Guided:
    """What came of one reader: ``longest`` s on the processor of one content, ``grown`` MB; a text for each finding."""

    reader: str
    executions: int
    longest: float
    grown: float
    found: tuple[str, ...] = ()


def available() -> bool:
    """Whether atheris can be had."""
    return importlib.util.find_spec("atheris") is not None


def guided(name: str, seconds: int, seed: int, runs: int = -1, keep: Path | None = None) -> Guided:
    """One reader for so many seconds, or ``runs`` contents. ``keep``: where found contents are put."""
    base = Path(mkdtemp(prefix="guided-"))
    try:
        return _tried(name, seconds, seed, runs, base, keep)
    finally:
        shutil.rmtree(base, ignore_errors=True)


def _tried(name: str, seconds: int, seed: int, runs: int, base: Path, keep: Path | None) -> Guided:
    told, start = base / "told", base / "start"
    told.mkdir()
    start.mkdir()
    (base / "seeds").mkdir()
    contents = seeds(name, base / "seeds")
    known = sorted((FOUND / name).glob("*")) if (FOUND / name).is_dir() else []
    for number, content in enumerate([*contents, *(p.read_bytes() for p in known)]):
        (start / f"start-{number:03}").write_bytes(content)
    words = "".join(f'"{_escaped(word)}"\n' for word in words_of(contents))
    (base / "words").write_text(words, encoding="ascii")
    options = (
        f"-seed={seed}", f"-runs={runs}", f"-max_total_time={seconds}", f"-max_len={LONGEST}",
        f"-timeout={int(4 * HANG)}", f"-rss_limit_mb={int(2 * MEMORY)}", "-print_final_stats=1", "-verbosity=0",
        f"-dict={base / 'words'}", f"-artifact_prefix={told}/found-by-limit-", str(start),
    )  # fmt: skip
    module = "tests.faults.guided.guided_child"
    command = [sys.executable, "-m", module, name, str(told), *options]
    environment = {**os.environ, "TMPDIR": str(base), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            command, capture_output=True, env=environment, check=False, timeout=3 * seconds + 3 * MARGIN
        )
        code, said = done.returncode, done.stderr.decode("utf-8", "replace")
    except subprocess.TimeoutExpired as late:
        code, said = -1, f"it did not end in time. {(late.stderr or b'').decode('utf-8', 'replace')}"
    if keep is not None:
        for path in sorted(told.glob("found-*")):
            keep.mkdir(parents=True, exist_ok=True)
            shutil.copy(path, keep / f"{name}-{path.name}")
    return _outcome(name, told, code, said)


def _escaped(word: bytes) -> str:
    """A word as libFuzzer's dictionary has it."""
    return "".join(f"\\x{byte:02x}" for byte in word)


def _outcome(name: str, told: Path, code: int, said: str) -> Guided:
    """What the process wrote down, and what its end says."""
    table = (
        json.loads((told / "told.json").read_text(encoding="utf-8")) if (told / "told.json").exists() else {}
    )
    counted = re.search(r"number_of_executed_units: (\d+)", said)
    executions = int(counted[1]) if counted else int(table.get("count", 0))
    longest, grown = float(table.get("longest", 0.0)), float(table.get("grown", 0.0))
    found = list(table.get("found", []))
    limits = [path.name for path in sorted(told.glob("found-by-limit-*"))]
    if code or limits or not table:
        found.append(f"its process ended with {code}: {' '.join(limits)} {said[-1200:]}")
    if grown > MEMORY:
        found.append(f"{grown:.0f} MB")
    return Guided(name, executions, longest, grown, tuple(found))


def guided_table(found: list[Guided]) -> list[str]:
    """A row for each reader."""
    rows = ["| reader | executions | new findings | longest, s | memory taken, MB |", "|---|---|---|---|---|"]
    rows += [
        f"| {one.reader} | {one.executions} | {len(one.found)} | {one.longest:.2f} | {one.grown:.0f} |"
        for one in found
    ]
    executions, findings = sum(one.executions for one in found), sum(len(one.found) for one in found)
    longest = max((one.longest for one in found), default=0.0)
    return [*rows, f"| all | {executions} | {findings} | {longest:.2f} | |"]
