"""``steadfoot flow check --weak``: what it tells, as text and as JSON, and its exit codes."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.conftest import Run
from tests.cli.test_flow_commands import own

ALL = '[[accepted]]\nedits = ["*"]\nreason = "A trial."\n'
ONE = ("--processes", "1")


def test_edits_that_could_hurt_somebody_make_the_exit_code_3(run: Run, home: Path) -> None:
    """Each with file, line, what is taken away, and what would notice; the table by kind; and what to do."""
    own(home)
    said = run("flow", "check", "own-flow", "--weak", "--edits", "12", "--seed", "1", *ONE)
    assert said.code == 3
    lines = said.out.splitlines()
    first = lines.index("Nobody would notice, and it is a matter of safety:")
    place, _, rest = lines[first + 1].strip().partition(" ")
    name, _, line = place.rpartition(":")
    assert Path(name).is_file() and int(line) >= 1 and rest.endswith("]")
    assert lines[first + 2].strip().startswith("would notice: ")
    assert lines[first + 3].strip().startswith("its name: ")
    heads = next(line for line in lines if line.startswith("kind "))
    assert heads.split() == [
        "kind",
        "grave",
        "edits",
        "form",
        "proof",
        "case",
        "approval",
        "only",
        "none",
        "no",
        "change",
        "accepted",
    ]
    assert lines[-1].startswith("own-flow: of 12 edits nobody would notice ")
    assert "that could hurt somebody" in said.err and "own-flow: 12 of 12 edits" in said.err


def test_what_is_accepted_lets_it_end_well(run: Run, home: Path) -> None:
    """Exit code 0, with the reason in the JSON; the same seed draws the same edits."""
    (own(home) / "weak.toml").write_text(ALL, encoding="utf-8")
    said = run("flow", "check", "own-flow", "--weak", "--edits", "8", "--json", *ONE)
    assert said.code == 0, said.err
    (table,) = json.loads(said.out)
    assert table["edits"] == 8 == sum(kind["edits"] for kind in table["kinds"])
    assert table["left"] == {"safety": 0, "evidence": 0, "money": 0}
    assert table["unnoticed"] and all(one["accepted"] == "A trial." for one in table["unnoticed"])
    again = run("flow", "check", "own-flow", "--weak", "--edits", "8", "--json", *ONE)
    assert again.out == said.out


def test_a_name_that_no_edit_has_is_told_before_anything_is_tried(run: Run, home: Path) -> None:
    """With its place; exit code 3."""
    (own(home) / "weak.toml").write_text(ALL.replace("*", "nothing of the kind"), encoding="utf-8")
    said = run("flow", "check", "own-flow", "--weak", *ONE)
    assert said.code == 3 and "weak.toml:2:" in said.err and "no edit is called" in said.err
    assert run("flow", "check", "own-flow").code == 0, "the plain check makes no edits"
    assert run("flow", "check", "own-flow", "--cases").code == 3


def test_a_flow_that_is_not_sound_is_repaired_first(run: Run, home: Path) -> None:
    """And so is one whose case doesn't end as it says: it would tell nothing of an edit."""
    folder = own(home)
    case = folder / "cases" / "worn.toml"
    text = case.read_text(encoding="utf-8")
    case.write_text(text.replace('outcome = "proved"', 'outcome = "declined"'), encoding="utf-8")
    said = run("flow", "check", "own-flow", "--weak", "--edits", "2", *ONE)
    assert said.code == 3 and "case worn doesn't end as it says" in said.err
    case.write_text("[[case]]\n", encoding="utf-8")
    said = run("flow", "check", "own-flow", "--weak", *ONE)
    assert said.code == 3 and "Mend them first" in said.err
