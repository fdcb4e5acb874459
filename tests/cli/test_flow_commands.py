"""``steadfoot flow``: which flows there are, and whether they are sound."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.jobs import GOOD
from wizard.flow.flow_places import shipped_library
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.parsing import flow_files


def own(home: Path, name: str = "own-flow") -> Path:
    """A flow of the shop's own."""
    return Path(shutil.copytree(GOOD, home / "flows" / name))


def test_the_list_has_what_is_shipped_and_the_shops_own(run: Run, home: Path) -> None:
    """Each with its title, whose it is and where it lies."""
    own(home)
    rows = {row["name"]: row for row in json.loads(run("flow", "list", "--json").out)}
    assert rows["washer-shake"]["whose"] == "shipped"
    assert rows["own-flow"]["whose"] == "own"
    assert Path(rows["own-flow"]["folder"]) == home / "flows" / "own-flow"
    assert "own-flow" in run("flow", "list").out


@pytest.mark.parametrize("text", ["[flow\n", "flow = 3\n", "a = " + "[" * 5000])
def test_a_flow_that_cant_be_read_is_listed_and_said(run: Run, home: Path, text: str) -> None:
    """The list doesn't fail for one broken flow."""
    (own(home) / "flow.toml").write_text(text, encoding="utf-8")
    said = run("flow", "list")
    assert said.code == 0
    assert "can't be read: check it" in said.out


def test_a_sound_flow_is_said_to_be_sound(run: Run, home: Path) -> None:
    """Exit code 0 and one line."""
    own(home)
    said = run("flow", "check", "own-flow")
    assert (said.code, said.err) == (0, "")
    assert said.out.splitlines()[-1].startswith("own-flow: sound")


def test_a_library_beside_a_flow_is_said_not_to_be_read(run: Run, home: Path) -> None:
    """Whoever copies the folder of flows and changes the library there changes nothing; the check says so."""
    flow = own(home)
    assert "Not read" not in run("flow", "check", str(flow)).out
    (flow.parent / "library").mkdir()
    (flow.parent / "library" / "machine.toml").write_text("", encoding="utf-8")
    said = run("flow", "check", str(flow))
    assert said.code == 0 and f"Not read: {flow.parent / 'library'}" in " ".join(said.out.split())
    (flow.parent / "library").rename(flow / "library")
    said = run("flow", "check", str(flow))
    assert said.code == 0 and f"Not read: {flow / 'library'}" in " ".join(said.out.split())


def test_a_folder_of_a_shipped_flows_name_is_not_taken_for_it_in_silence(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Who stands beside it may mean it: what was read is said, and how the other is named; so named, it is read."""
    own = Path(shutil.copytree(folder_of("washer-no-drain"), tmp_path / "washer-no-drain"))
    monkeypatch.chdir(tmp_path)
    said = run("flow", "check", "washer-no-drain")
    words = " ".join(said.out.split())
    assert said.code == 0 and "Not read: the folder washer-no-drain here." in words
    (own / "limits.toml").write_text("[[limit]]\n", encoding="utf-8")
    said = run("flow", "check", "./washer-no-drain")
    assert said.code == 3 and "Not read: the folder" not in said.out


def test_a_problem_of_the_library_is_told_where_the_library_lies(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Its file is opened in the program's own library: the flow's folder holds none."""
    flow, library = own(home), tmp_path / "library of the program"
    shutil.copytree(shipped_library(), library)
    monkeypatch.setattr(flow_files, "shipped_library", lambda: library)
    machine = library / "machine.toml"
    machine.write_text(
        machine.read_text(encoding="utf-8").replace("\nsays = ", "\nsayz = ", 1), encoding="utf-8"
    )
    said = run("flow", "check", str(flow))
    assert said.code == 3 and f"{machine}:" in said.out.replace("\n", "")
    told = json.loads(run("flow", "check", str(flow), "--json").out)
    assert {Path(problem["path"]) for problem in told[0]["problems"]} == {machine}


def test_every_problem_is_told_with_its_place(run: Run, home: Path) -> None:
    """File, line, column and the nearest right name; exit code 3 and the count on stderr."""
    folder = own(home)
    pull = folder / "inspections" / "dampers.toml"
    text = pull.read_text(encoding="utf-8")
    pull.write_text(
        text.replace('"damper-drag"', '"damper-drg"').replace("minutes = 20", "minuts = 20"), "utf-8"
    )
    said = run("flow", "check", str(folder))
    assert said.code == 3
    places = [line for line in said.out.splitlines() if line.startswith(f"{pull}:")]
    assert len(places) >= 2
    assert any('Did you mean "damper-drag"?' in line for line in places)
    assert said.err.startswith("steadfoot: ") and said.err.count("\n") == 1


def test_problems_as_json(run: Run, home: Path) -> None:
    """A program gets the same problems, each with its place and rule."""
    folder = own(home)
    (folder / "limits.toml").unlink()
    said = run("flow", "check", "own-flow", "--json")
    (table,) = json.loads(said.out)
    assert said.code == 3 and table["sound"] is False
    assert {"file", "line", "column", "text", "rule", "severity"} <= set(table["problems"][0])


def test_the_shipped_flows_are_sound(run: Run) -> None:
    """All flows are checked when none is named, and those shipped have no errors."""
    said = run("flow", "check")
    assert said.code == 0, said.out
    assert "washer-shake: sound" in said.out


def test_a_flow_that_isnt_there_is_one_line(run: Run) -> None:
    """Exit code 2, with the nearest name."""
    said = run("flow", "check", "washer-shaek")
    assert said.code == 2
    assert 'Did you mean "washer-shake"?' in said.err and said.err.count("\n") == 1


def test_an_own_flow_comes_before_a_shipped_one_of_the_same_name(run: Run, home: Path) -> None:
    """A shop that copies a flow works on its copy."""
    own(home, "washer-shake")
    rows = {row["name"]: row for row in json.loads(run("flow", "list", "--json").out)}
    assert rows["washer-shake"]["whose"] == "own"
