"""The wheel holds the package with its style sheet and the shipped flows, and an install of it finds them."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from wizard.flow.loading.shipped_flows import find, shipped
from wizard.flowcheck.approval.approval_file import path_of

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from a copy of the tree with the build back end that is installed here."""
    pytest.importorskip(
        "hatchling", reason="the build back end is not installed here; .ci/run builds the wheel"
    )
    tree = tmp_path_factory.mktemp("tree")
    for name in ("wizard", "flows"):
        shutil.copytree(ROOT / name, tree / name, ignore=shutil.ignore_patterns("__pycache__"))
    for name in ("pyproject.toml", "README.md", "LICENSE"):
        shutil.copy(ROOT / name, tree / name)
    build = "from hatchling.build import build_wheel; print(build_wheel('made'))"
    (tree / "made").mkdir()
    done = subprocess.run(
        [sys.executable, "-c", build], cwd=tree, capture_output=True, encoding="utf-8", timeout=120
    )
    assert done.returncode == 0, done.stderr
    return tree / "made" / done.stdout.split()[-1]


def test_the_wheel_holds_every_file_of_the_shipped_flows(wheel: Path) -> None:
    """Each file, with the bytes that it has in the tree; and each flow's approval, which lies beside it."""
    with zipfile.ZipFile(wheel) as held:
        names = set(held.namelist())
        for folder in shipped().values():
            for path in (*folder.rglob("*"), path_of(folder)):
                inside = f"wizard/shipped_flows/{path.relative_to(ROOT / 'flows').as_posix()}"
                if path.is_file():
                    assert inside in names
                    assert held.read(inside) == path.read_bytes()


def test_the_wheel_holds_what_the_program_reads(wheel: Path) -> None:
    """Style sheets, templates, type marker and licence go along; tests don't."""
    with zipfile.ZipFile(wheel) as held:
        names = held.namelist()
    assert "wizard/screens/layout/steadfoot.tcss" in names
    for template in ("report.html.jinja", "report.css", "report.typ"):
        assert f"wizard/documents/writers/page/{template}" in names
    assert "wizard/py.typed" in names
    assert any(name.endswith("/licenses/LICENSE") for name in names)
    assert not any(name.startswith("tests/") for name in names)


def test_an_install_finds_its_flows_away_from_the_tree(wheel: Path, tmp_path: Path) -> None:
    """Unpacked elsewhere, the program lists and plays the flows inside it."""
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as held:
        held.extractall(site)
    environment = {**os.environ, "PYTHONPATH": str(site), "PYTHONSAFEPATH": "1"}
    command = [sys.executable, "-m", "wizard.cli", "--home", str(tmp_path / "home"), "flow", "list"]
    done = subprocess.run(
        command, capture_output=True, encoding="utf-8", env=environment, cwd=tmp_path, timeout=60
    )
    assert done.returncode == 0, done.stderr
    assert set(find(site / "wizard")) == set(shipped())
    assert str(site / "wizard" / "shipped_flows" / "washer-shake") in done.stdout


def test_the_tree_finds_its_flows_beside_the_package() -> None:
    """As an editable install does."""
    assert shipped()["washer-shake"] == ROOT / "flows" / "washer-shake"
