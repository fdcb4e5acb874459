"""``steadfoot flow study``: jobs at practice machines, their scores, and what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.conftest import Run


def test_a_study_prints_its_scores_and_how_far_it_is(run: Run) -> None:
    """The table on standard output, progress beside it; the same seeds give the same machines."""
    asked = ("flow", "study", "washer-shake", "--machines", "2", "--processes", "1", "--seed", "3")
    said = run(*asked)
    assert said.code == 0 and "2 of 2" in said.err
    head, every = said.out.splitlines()[:2]
    assert head.split()[:2] == ["jobs", "first"] and every.split()[:2] == ["all", "2"]
    rows = json.loads(run(*asked, "--json").out)
    assert [job["seed"] for job in rows["jobs"]] == [3_000_000, 3_000_001]
    assert rows["all"]["jobs"] == 2 and f"{rows['all']['first_right']:.2f}" in every


def test_a_flow_without_practice_machines_is_refused(run: Run, tmp_path: Path) -> None:
    """The drain flow has none; a folder that isn't there is named."""
    said = run("flow", "study", "washer-no-drain")
    assert said.code == 2 and "--practice" in said.err and said.out == ""
    said = run("flow", "study", "--practice", str(tmp_path / "none"))
    assert said.code == 2 and "no such folder" in said.err
