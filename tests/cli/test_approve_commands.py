"""``steadfoot flow claims`` and ``flow approve``: a person answers for what a flow claims; the check compares."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.cli.test_flow_commands import own
from wizard.flowcheck.approval import approval_file

BY = ("--by", "R. Vale", "--reason", "First reading")
ROOT = Path(__file__).parents[2]
DAMPERS = Path("inspections") / "dampers.toml"


def approved(run: Run, home: Path) -> Path:
    """A flow of the shop's own that was approved; its folder."""
    folder = own(home)
    assert run("flow", "approve", "own-flow", *BY, "--yes").code == 0
    return folder


def edit(folder: Path, old: str, new: str) -> None:
    """Replace a text in the flow's dampers."""
    file = folder / DAMPERS
    text = file.read_text("utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), "utf-8")


def test_what_nobody_approved_is_warned_of_until_somebody_does(run: Run, home: Path) -> None:
    """One warning and exit code 0; then nothing. The list of flows stays as it was."""
    own(home)
    before = run("flow", "list").out
    said = run("flow", "check", "own-flow")
    assert said.code == 0 and said.out.count("[approved]") == 1 and "nobody approved" in said.out
    done = run("flow", "approve", "own-flow", *BY, "--yes")
    assert done.code == 0 and "claims approved by R. Vale." in done.out
    assert (home / "flows" / "own-flow.approved.toml").is_file()
    assert "[approved]" not in run("flow", "check", "own-flow").out
    assert run("flow", "list").out == before


def test_a_need_that_was_taken_out_ends_the_check_with_an_error(run: Run, home: Path) -> None:
    """Exit code 3; file, line and column, who approved it, and how to go on. In the JSON as well."""
    folder = approved(run, home)
    edit(folder, 'needs = { front = ["off"] }\n', "")
    said = run("flow", "check", "own-flow")
    assert said.code == 3
    (line,) = [line for line in said.out.splitlines() if line.endswith("[approved]")]
    assert line.startswith(f"{folder / DAMPERS}:")
    assert '"step dampers.pull: needs front = off" is gone; R. Vale approved it on' in line
    (table,) = json.loads(run("flow", "check", "own-flow", "--json").out)
    assert not table["sound"] and [p["rule"] for p in table["problems"]].count("approved") == 1


def test_who_approves_sees_what_differs_and_it_stands_then(run: Run, home: Path) -> None:
    """The difference is a line; the check is quiet afterwards; nothing to approve is said."""
    folder = approved(run, home)
    edit(folder, 'needs = { front = ["off"] }\n', "")
    differs = run("flow", "claims", "own-flow", "--changes")
    assert "- weaker: gone: step dampers.pull: needs front = off" in differs.out
    done = run("flow", "approve", "own-flow", "--by", "M. Orr", "--reason", "Seen from outside", "--yes")
    assert "- weaker: gone: step dampers.pull: needs front = off" in done.out
    assert run("flow", "check", "own-flow").code == 0
    kept = approval_file.load(approval_file.path_of(folder))
    assert kept is not None and (kept.by, kept.reason) == ("M. Orr", "Seen from outside")
    again = run("flow", "approve", "own-flow", "--by", "M. Orr", "--reason", "Again", "--yes")
    assert again.code == 0 and "Nothing differs. Approved by M. Orr" in again.out


def test_the_claims_are_listed_by_file_with_the_words_of_allowances(run: Run, home: Path) -> None:
    """An answer that says something of the machine stands below what it is an answer to."""
    own(home)
    lines = run("flow", "claims", "own-flow").out.splitlines()
    assert "library/procedures/isolation/power.toml" in lines
    at = next(n for n, line in enumerate(lines) if "answer power.try dark: sets" in line)
    words = lines[at - 1]
    assert (
        words.startswith('    "Switch on again a cut-off') and "Nothing happens, and it lit before" in words
    )
    assert lines[-1].endswith("Nobody approved them.")
    table = json.loads(run("flow", "claims", "own-flow", "--json").out)
    row = next(c for c in table["claims"] if c["claim"] == "answer power.try dark: sets verified = yes")
    assert (
        row["bearing"] == "allowance"
        and row["file"] == "library/procedures/isolation/power.toml"
        and row["line"] > 1
    )
    assert "Nothing happens" in row["words"] and table["approval"] is None


def test_the_differences_for_programs(run: Run, home: Path) -> None:
    """Each with what it was, what it is and which way it works."""
    edit(approved(run, home), 'needs = { front = ["off"] }\n', "")
    table = json.loads(run("flow", "claims", "own-flow", "--changes", "--json").out)
    (change,) = table["changes"]
    assert change["shift"] == "weaker" and change["present"] is None
    assert (
        change["approved"] == "step dampers.pull: needs front = off" and table["approval"]["by"] == "R. Vale"
    )


def test_a_flow_that_is_not_sound_is_not_approved(run: Run, home: Path) -> None:
    """Exit code 3 with its problems; nothing is written."""
    folder = own(home)
    edit(folder, "minutes = 20", "minuts = 20")
    said = run("flow", "approve", "own-flow", *BY, "--yes")
    assert said.code == 3 and "minuts" in said.err
    assert not approval_file.path_of(folder).exists()
    assert run("flow", "claims", "own-flow").code == 3


@pytest.mark.parametrize(
    ("args", "code", "said"),
    [
        (("--by", "42", "--reason", "So", "--yes"), 2, "a name"),
        (("--by", "R. Vale", "--reason", "  ", "--yes"), 2, "--reason"),
        (("--by", "R. Vale", "--yes"), 2, "--reason"),
        (BY, 8, "give --yes"),
    ],
)
def test_who_cant_be_known_or_asked_approves_nothing(
    run: Run, home: Path, args: tuple[str, ...], code: int, said: str
) -> None:
    """A name has letters, a reason words; where nobody can be asked --yes is wanted."""
    folder = own(home)
    done = run("flow", "approve", "own-flow", *args)
    assert done.code == code and said in done.err
    assert not approval_file.path_of(folder).exists()


@pytest.mark.terminal
@pytest.mark.skipif(sys.platform == "win32", reason="pexpect has no terminal there")
@pytest.mark.parametrize(("answer", "code"), [("y", 0), ("n", 130)])
def test_a_person_is_asked_whether_they_answer_for_it(home: Path, answer: str, code: int) -> None:
    """In a terminal, with how many claims there are; no is written nowhere."""
    import pexpect

    folder = own(home)
    args = ["-m", "wizard.cli", "--home", str(home), "flow", "approve", "own-flow", *BY]
    child = pexpect.spawn(sys.executable, args, cwd=str(ROOT), encoding="utf-8", timeout=60)
    child.expect(r"own-flow: \d+ claims. Does R. Vale answer for it\?")
    child.sendline(answer)
    child.expect(pexpect.EOF)
    child.close()
    assert child.exitstatus == code
    assert approval_file.path_of(folder).exists() is (answer == "y")


def test_what_is_no_approval_is_an_error_of_the_check(run: Run, home: Path) -> None:
    """Other flows are checked all the same; claims --changes refuses in words."""
    path = approval_file.path_of(approved(run, home))
    path.write_text("by = 3\n", "utf-8")
    said = run("flow", "check", "own-flow")
    assert said.code == 3 and "not what flow approve wrote" in said.out
    assert run("flow", "claims", "own-flow", "--changes").code == 3


def test_a_disk_that_refuses_is_said(run: Run, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where, why and what to do, and no file."""
    folder = own(home)

    def full(_path: Path, _data: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("wizard.flowcheck.approval.approving.put", full)
    said = run("flow", "approve", "own-flow", *BY, "--yes")
    assert said.code == 3 and "the disk is full" in said.err
    assert not approval_file.path_of(folder).exists()


def test_without_an_approval_there_are_no_differences_to_list(run: Run, home: Path) -> None:
    """All would be new; a program gets it so."""
    own(home)
    said = run("flow", "claims", "own-flow", "--changes")
    assert (
        said.code == 0 and "nobody approved it, so all of it is new" in said.out and said.out.count("\n") == 1
    )
    assert len(json.loads(run("flow", "claims", "own-flow", "--changes", "--json").out)["changes"]) > 100


def test_a_flow_of_an_installed_program_is_approved_by_its_makers(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An update would overwrite it; the shop's own copy is the shop's to approve."""
    monkeypatch.setattr("wizard.cli.checked_flows.in_tree", lambda: False)
    said = run("flow", "approve", "washer-shake", *BY, "--yes")
    assert said.code == 2 and "its makers approve it" in said.err


def test_the_rule_is_explained(run: Run) -> None:
    """What it proves, why, and an example."""
    said = run("flow", "check", "--explain", "approved")
    assert said.code == 0 and "named person" in said.out and "flow approve" in said.out
