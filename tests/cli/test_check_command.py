"""``steadfoot flow check``: proofs with their witnesses, cases played, rules explained."""

from __future__ import annotations

import json
from pathlib import Path

import tomli

from tests.cli.conftest import Run
from tests.cli.test_flow_commands import own
from tests.helpers.flows.witness_replay import follow, read_step
from wizard.domain.vocabulary import RefusalReason
from wizard.flow.loading.flow_loader import load

BROKEN = Path(__file__).parent.parent / "flowcheck" / "broken" / "each-needs-the-other.toml"


def broken(home: Path) -> Path:
    """A flow of the shop's own in which two conditions each need the other: neither can be asked first."""
    folder = own(home)
    for edit in tomli.loads(BROKEN.read_text("utf-8"))["edit"]:
        file = folder / edit["file"]
        text = file.read_text("utf-8")
        assert edit["old"] in text
        file.write_text(text.replace(edit["old"], edit["new"], 1), "utf-8")
    return folder


def test_a_problem_is_told_with_its_rule_and_its_path(run: Run, home: Path) -> None:
    """The place, the rule in brackets, and below it the path of answers; exit code 3."""
    folder = broken(home)
    said = run("flow", "check", "own-flow")
    assert said.code == 3
    lines = said.out.splitlines()
    at = next(n for n, line in enumerate(lines) if line.endswith("[way]"))
    assert lines[at].startswith(f"{folder / 'inspections' / 'ready.toml'}:")
    path = [line.strip() for line in lines[at + 1 : at + 4]]
    assert path == ["fact kind = front-loader", "open ready.mat", "before.danger: clear"]


def test_the_path_of_the_json_can_be_followed(run: Run, home: Path) -> None:
    """A program gets the witness as a list, and the engine follows it to the end, where it refuses."""
    folder = broken(home)
    (table,) = json.loads(run("flow", "check", "own-flow", "--json").out)
    found = next(p for p in table["problems"] if p["rule"] == "way")
    assert table["proved"] and not table["sound"]
    assert follow(load(folder), map(read_step, found["witness"])).refused is RefusalReason.BARRED


def test_cases_are_played_when_asked(run: Run, home: Path) -> None:
    """What no case goes through is listed; without it the cases are said to be left out."""
    own(home)
    assert "Not played: 2 cases (--cases)" in run("flow", "check", "own-flow").out
    said = run("flow", "check", "own-flow", "--cases")
    assert said.code == 0 and "steps that no case goes through:\n    leave-waiting.tag" in said.out
    (table,) = json.loads(run("flow", "check", "own-flow", "--cases", "--json").out)
    assert [p["ok"] for p in table["played"]] == [True, True]
    assert "leave-waiting.tag" in table["coverage"]["no_step"]


def test_form_comes_first(run: Run, home: Path) -> None:
    """With an error of form it is said that the proofs wait."""
    folder = own(home)
    (folder / "limits.toml").unlink()
    assert "is proved once these are mended" in run("flow", "check", "own-flow").out


def test_a_rule_is_explained(run: Run) -> None:
    """No flow is read; what it proves, why, and an example. An unknown rule is exit code 2 with the nearest name."""
    said = run("flow", "check", "--explain", "two-steps")
    assert said.code == 0 and 'id = "verified"' in said.out and "mains" in said.out
    wrong = run("flow", "check", "--explain", "two-step")
    assert wrong.code == 2 and 'Did you mean "two-steps"?' in wrong.err
