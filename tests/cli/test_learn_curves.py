"""``steadfoot flow learn`` on a flow with a curve: from journals on disk to limits.toml, its whole check passed, and
back.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers import wandering_jobs
from tests.helpers.jobs import GOOD
from tests.helpers.learned_home import proved_session
from wizard.flow.loading.flow_loader import load

JOBS = 13
CURVE = """usual = 60 # as sold
scatter = 9

[[limit.band]]
id = "weak"
below = 30
verdict = "fail"
typical = { mild = 44, moderate = 36, severe = 29 } # a guess
"""


@pytest.fixture
def flow(tmp_path: Path, home: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The small flow with a curve of its dampers, and proved sessions of it, all of whose dampers pull 18 N."""
    folder = tmp_path / "own" / "good"
    shutil.copytree(GOOD, folder)
    limits = folder / "limits.toml"
    text = limits.read_text(encoding="utf-8")
    plain = '\n[[limit.band]]\nid = "weak"\nbelow = 30\nverdict = "fail"\n'
    limits.write_text(text.replace(plain, CURVE, 1), encoding="utf-8", newline="\n")
    own = load(folder)
    monkeypatch.setattr(wandering_jobs, "GOOD", folder)
    monkeypatch.setattr(wandering_jobs, "good", lambda: own)
    for _ in range(JOBS):
        proved_session(home)
    return folder


def test_a_curve_is_learned_taken_and_taken_back(run: Run, flow: Path) -> None:
    """18 N where 44 to 29 were thought: said with how many speak, written with its comment, the check passed; back
    byte for byte. What healthy ones give nobody said.
    """
    said = run("flow", "learn", str(flow), "--json")
    assert said.code == 0, said.err
    rows = {n["id"]: n for n in json.loads(said.out)["numbers"]}
    mild, usual = rows["curve:damper-drag@3:weak.mild"], rows["curve:damper-drag@3:usual"]
    assert mild["standing"] == "change" and mild["new"] < 40.0 and 8 <= mild["sessions"] <= JOBS
    assert (usual["standing"], usual["missing"], usual["new"]) == ("too few", 8, 60.0)
    before = (flow / "limits.toml").read_bytes()
    said = run("flow", "learn", str(flow), "--take", "curve:damper-drag@3:weak.mild")
    assert said.code == 0 and f"curve:damper-drag@3:weak.mild: 44 is now {mild['new']:g}" in said.out, (
        said.err
    )
    parts = [rows[f"curve:damper-drag@3:weak.{s}"]["new"] for s in ("mild", "moderate", "severe")]
    text = "typical = {{ mild = {:g}, moderate = {:g}, severe = {:g} }} # a guess".format(*parts)
    after = (flow / "limits.toml").read_text(encoding="utf-8")
    assert text in after and "usual = 60 # as sold" in after
    said = run("flow", "learn", str(flow), "--undo")
    assert said.code == 0 and (flow / "limits.toml").read_bytes() == before, said.err
