"""The shipped flows are found in a wheel and in an editable install, and they are sound."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

from tests.helpers.flows.flow_folders import GOOD
from wizard.errors import UsageError
from wizard.flow.flow_places import home, shipped_library
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import find, folder_of, shipped
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import read_folder

ROOT = Path(__file__).parents[3]


def test_flows_beside_the_package_are_found(tmp_path: Path) -> None:
    """In an editable install flows/ stands beside the package; folders without a flow.toml don't count."""
    (tmp_path / "wizard").mkdir()
    shutil.copytree(GOOD, tmp_path / "flows" / "bounce")
    (tmp_path / "flows" / "notes").mkdir()
    assert find(tmp_path / "wizard") == {"bounce": tmp_path / "flows" / "bounce"}


def test_flows_inside_the_package_come_first(tmp_path: Path) -> None:
    """In a wheel the flows are inside the package, and what lies beside it is someone else's."""
    inside = tmp_path / "wizard" / "shipped_flows" / "bounce"
    shutil.copytree(GOOD, inside)
    shutil.copytree(GOOD, tmp_path / "flows" / "other")
    assert find(tmp_path / "wizard") == {"bounce": inside}


def test_no_flows_at_all_is_no_error(tmp_path: Path) -> None:
    """A package without flows has none."""
    assert find(tmp_path / "wizard") == {}


def test_the_library_lies_with_the_flows(tmp_path: Path) -> None:
    """In a wheel inside the package, in an editable install beside it; it is no flow itself."""
    assert home(tmp_path / "wizard") == tmp_path / "flows"
    (tmp_path / "wizard" / "shipped_flows").mkdir(parents=True)
    assert home(tmp_path / "wizard") == tmp_path / "wizard" / "shipped_flows"
    assert (shipped_library() / "machine.toml").is_file() and "library" not in shipped()


def test_a_flow_brings_no_library_of_its_own(tmp_path: Path) -> None:
    """Whatever lies in a shop's folder, its flow works by the program's: nothing there makes it weaker."""
    shutil.copytree(GOOD, tmp_path / "bounce")
    own = tmp_path / "bounce" / "library"
    (own / "procedures").mkdir(parents=True)
    (own / "machine.toml").write_text("procedures = []\n", encoding="utf-8")
    (own / "procedures" / "power.toml").write_text("", encoding="utf-8")
    assert read_folder(tmp_path / "bounce") == read_folder(GOOD)
    assert load(tmp_path / "bounce") == load(GOOD)


@pytest.mark.parametrize("name", sorted(shipped()))
def test_shipped_flows_are_sound(name: str) -> None:
    """Every flow that comes with the program passes its own check and loads."""
    folder = shipped()[name]
    assert [str(p) for p in examine(read_folder(folder)).problems if p.severity == "error"] == []
    assert load(folder).id == name


def test_a_flow_is_named_by_its_name_or_its_folder() -> None:
    """A shipped flow by name, any other by its path; else the error names those there are."""
    for name, folder in shipped().items():
        assert folder_of(name) == folder
    assert folder_of(str(GOOD)) == GOOD
    with pytest.raises(UsageError, match=r'There is no flow "washer-shak"'):
        folder_of("washer-shak")


@pytest.mark.nightly
def test_the_wheel_holds_the_flows_and_finds_them(tmp_path: Path) -> None:
    """Built as a wheel and unpacked elsewhere, the package finds the same flows, file for file."""
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)]
    subprocess.run(build, cwd=ROOT, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    site = tmp_path / "site"
    zipfile.ZipFile(wheel).extractall(site)
    code = "from wizard.flow.loading.shipped_flows import shipped\nfor n, p in shipped().items(): print(n, p)"
    done = subprocess.run(
        [sys.executable, "-c", f"import sys; sys.path.insert(0, {str(site)!r})\n{code}"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert (site / "wizard" / "shipped_flows" / "library" / "machine.toml").is_file()
    found = {name: Path(path) for name, path in (line.split(" ", 1) for line in done.stdout.splitlines())}
    assert set(found) == set(shipped())
    for name, folder in found.items():
        assert site in folder.parents
        files = {p.relative_to(folder): p.read_bytes() for p in folder.rglob("*") if p.is_file()}
        there = {
            p.relative_to(shipped()[name]): p.read_bytes() for p in shipped()[name].rglob("*") if p.is_file()
        }
        assert files == there
