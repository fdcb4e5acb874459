"""``steadfoot flow new``: asked or told, a flow that is sound; nothing overwritten, nothing half written."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from wizard.cli import new_command
from wizard.flow.loading.flow_loader import load
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.flow_check import check

GIVEN = (
    "--title",
    "Dryer that stays cold",
    "--complaint",
    'It "turns" but stays cold.',
    "--kind",
    "vented=Vented dryer",
)


def test_what_is_given_is_written_and_is_sound(run: Run, tmp_path: Path) -> None:
    """All proofs pass and both cases play; id, texts and kinds are as they were given."""
    folder = tmp_path / "flows" / "dryer-cold"
    said = run("flow", "new", str(folder), *GIVEN, "--kind", "heat-pump=Heat pump dryer")
    assert (said.code, said.err) == (0, "")
    checked = check(read_folder(folder), play=True)
    assert checked.problems == () and [p.ok for p in checked.played] == [True, True]
    flow = load(folder)
    assert (flow.id, flow.title, flow.complaint) == (
        "dryer-cold",
        "Dryer that stays cold",
        'It "turns" but stays cold.',
    )
    assert [v.id for v in flow.fact("kind").values] == ["vented", "heat-pump"]  # type: ignore[union-attr]
    assert [p.name for p in folder.parent.iterdir()] == ["dryer-cold"]


def test_without_a_folder_it_goes_to_the_shops_own(run: Run, home: Path) -> None:
    """By its id among the flows of the home folder, where a job finds it."""
    said = run("flow", "new", "--id", "dryer-cold", *GIVEN, "--json")
    told = json.loads(said.out)
    assert told["folder"] == str(home / "flows" / "dryer-cold") and "flow.toml" in told["files"]
    assert "dryer-cold" in [row["name"] for row in json.loads(run("flow", "list", "--json").out)]
    assert run("flow", "check", "dryer-cold", "--cases").code == 0


def test_a_wide_title_that_fits_is_sound(run: Run, tmp_path: Path) -> None:
    """20 wide characters take the 40 columns there are: what is taken when asked passes the check."""
    args = ("--title", "洗" * 20, "--complaint", "音" * 33, "--kind", "a=A")
    assert run("flow", "new", str(tmp_path / "mine"), *args).code == 0


def test_nothing_is_overwritten(run: Run, tmp_path: Path) -> None:
    """A folder with anything in it, or a file, is left as it is."""
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "notes.txt").write_text("keep", encoding="utf-8")
    for target in (folder, folder / "notes.txt"):
        said = run("flow", "new", str(target), "--id", "mine", *GIVEN)
        assert said.code == 2 and "nothing is overwritten" in said.err
    assert [p.name for p in folder.iterdir()] == ["notes.txt"]


def test_an_empty_folder_is_filled(run: Run, tmp_path: Path) -> None:
    """An empty folder stands for no folder."""
    (tmp_path / "mine").mkdir()
    assert run("flow", "new", str(tmp_path / "mine"), *GIVEN).code == 0
    assert load(tmp_path / "mine").id == "mine"


def test_the_folder_one_stands_in_is_filled(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """'.' is an empty folder too: it stays the folder that it is, and gives the id."""
    here = tmp_path / "dryer-cold"
    here.mkdir()
    monkeypatch.chdir(here)
    inode = here.stat().st_ino
    assert run("flow", "new", ".", *GIVEN).code == 0
    assert load(here).id == "dryer-cold" and here.stat().st_ino == inode
    assert not list(here.glob(".new-*")) and [p.name for p in tmp_path.iterdir()] == ["dryer-cold"]


def test_disk_that_refuses_leaves_the_folder_empty(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second of the files can't be moved: the first goes too."""
    moved: list[Path] = []
    real = Path.rename

    def rename(self: Path, target: Path) -> Path:
        if moved:
            raise OSError(28, "No space left on device")
        moved.append(self)
        return real(self, target)

    monkeypatch.setattr(Path, "rename", rename)
    with pytest.raises(OSError, match="No space"):
        new_command.write(tmp_path, {"a.toml": b"a", "b/c.toml": b"c"})
    assert moved and not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("--id", "Dryer Cold", *GIVEN), "can't be an id"),
        (("--id", "../out", *GIVEN), "can't be an id"),
        (("--id", "a", "--title", "T" * 41, "--complaint", "C", "--kind", "a=A"), "1 to 40 characters"),
        (
            ("--id", "a", "--title", "洗" * 28, "--complaint", "C", "--kind", "a=A"),
            "a wide one counts as two",
        ),
        (
            ("--id", "a", "--title", "T", "--complaint", "C", "--kind", "front"),
            "Write its id, = and how it is read",
        ),
        (("--id", "a", "--title", "T", "--complaint", "C", "--kind", "a=A", "--kind", "a=B"), "given twice"),
    ],
)
def test_what_cannot_be_used_is_one_line(run: Run, home: Path, args: tuple[str, ...], told: str) -> None:
    """Exit code 2, how to mend it, and nothing written."""
    said = run("flow", "new", *args)
    assert said.code == 2 and told in said.err and said.err.count("\n") == 1
    assert not (home / "flows").exists() or not list((home / "flows").iterdir())


def test_nobody_is_asked_where_there_is_no_terminal(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is missing is named by its option; exit code 8."""
    monkeypatch.setattr(sys.stdin, "isatty", lambda: False)
    said = run("flow", "new", "--id", "dryer-cold")
    assert said.code == 8 and "--title" in said.err


def test_a_disk_that_refuses_leaves_nothing(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the last step fails, no half of a flow is left behind."""

    def refuse(self: Path, target: Path) -> Path:
        raise OSError(28, "No space left on device", str(target))

    monkeypatch.setattr(new_command.Path, "rename", refuse)
    said = run("flow", "new", str(tmp_path / "mine"), *GIVEN)
    assert said.code == 1 and "No space left on device" in said.err
    assert list(tmp_path.iterdir()) == []


@pytest.mark.terminal
@pytest.mark.skipif(sys.platform == "win32", reason="pexpect has no terminal there")
def test_in_a_terminal_it_asks_until_it_can_be_used(tmp_path: Path) -> None:
    """Each answer that can't be used is said and asked again; then the flow is there and is sound."""
    import pexpect

    home = tmp_path / "home"
    child = pexpect.spawn(
        sys.executable, ["-m", "wizard.cli", "--home", str(home), "flow", "new"], encoding="utf-8", timeout=30,
        dimensions=(24, 200),
    )  # fmt: skip
    for question, answer in (
        ("Id of the flow", "Dryer Cold"),
        ("can't be an id", "dryer-cold"),
        ("Title", "Dryer that stays cold"),
        ("Complaint", "It stays cold."),
        ("Kind of machine", "vented"),
        ("Write its id", "vented=Vented dryer"),
        ("- for no more", "vented=Again"),
        ("given twice", "heat-pump=Heat pump dryer"),
        ("- for no more", ""),
    ):
        child.expect_exact(question)
        child.sendline(answer)
    child.expect_exact("checked and its cases played")
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == 0
    assert check(read_folder(home / "flows" / "dryer-cold"), play=True).problems == ()
