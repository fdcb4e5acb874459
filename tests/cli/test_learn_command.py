"""``steadfoot flow learn``: a proposal from sessions on disk, taken in part or whole, checked, taken back; refusals."""

from __future__ import annotations

import json
import shutil
import tomllib
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.jobs import GOOD
from tests.helpers.learned_home import JOBS, learned_home
from wizard.cli.learning import learn_command
from wizard.learning.proposal import ENDING
from wizard.learning.session_source import places

BOUNCES = "weight:bounces-on:dampers-worn"


@pytest.fixture
def flow(tmp_path: Path, home: Path) -> Path:
    """A copy of the small flow that is wrong on one number, and nine proved sessions of it in the home."""
    learned_home(home)
    folder = tmp_path / "own" / "good"
    shutil.copytree(GOOD, folder)
    findings = folder / "findings.toml"
    text = findings.read_text(encoding="utf-8")
    wrong = text.replace("weights = { dampers-worn = 0.9 }", "weights = { dampers-worn = 0.15 } # a guess")
    assert wrong != text
    findings.write_text(wrong, encoding="utf-8", newline="\n")
    return folder


def content(folder: Path) -> dict[str, bytes]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()
    }


def learned(flow: Path) -> dict:
    return tomllib.loads(flow.with_name(flow.name + ENDING).read_text(encoding="utf-8"))


def test_what_is_learned_is_proposed_and_the_flow_stays(run: Run, flow: Path) -> None:
    """The number that the sessions contradict, with its interval and how many speak; what is too few; the bias left."""
    before = content(flow)
    said = run("flow", "learn", str(flow), "--processes", "1")
    assert said.code == 0, said.err
    assert f"{JOBS} of {JOBS} sessions" in said.err
    row = next(line for line in said.out.splitlines() if line.startswith(BOUNCES))
    assert row.split()[1] == "0.150" and int(row.split()[5]) == JOBS
    assert f"learned from {JOBS} proved sessions" in said.out
    assert (
        "Not scored: too few" in said.out
        and "Nearest to enough" in said.out
        and "What bias remains" in said.out
    )
    assert content(flow) == before
    number = next(n for n in learned(flow)["number"] if n["id"] == BOUNCES)
    assert number["stands"] == "change" and number["low"] > 0.15 and 0.5 < number["new"] < 0.7
    few = next(n for n in learned(flow)["number"] if n["id"] == "weight:plug-loose:wiring")
    assert (few["stands"], few["missing"], few["new"]) == ("too few", 8, 0.8)


def test_a_number_is_taken_and_taken_back(run: Run, flow: Path) -> None:
    """Only its digits change, the comment stays; a second learning keeps the trainer's number; then byte for byte as it
    was.
    """
    before = content(flow)
    run("flow", "learn", str(flow))
    new = next(n for n in learned(flow)["number"] if n["id"] == BOUNCES)["new"]
    said = run("flow", "learn", str(flow), "--take", BOUNCES)
    assert said.code == 0 and f"{BOUNCES}: 0.15 is now {new:g}" in said.out, said.err
    changed = [name for name, data in content(flow).items() if data != before[name]]
    assert changed == ["findings.toml"]
    assert f"weights = {{ dampers-worn = {new:g} }} # a guess" in (flow / "findings.toml").read_text(
        encoding="utf-8"
    )
    assert learned(flow)["taken"][0]["before"] == {BOUNCES: 0.15}
    assert run("flow", "learn", str(flow)).code == 0
    again = next(n for n in learned(flow)["number"] if n["id"] == BOUNCES)
    assert again["old"] == new and abs(again["new"] - new) < 2e-3 and again["stands"] == "agrees"
    said = run("flow", "learn", str(flow), "--undo")
    assert said.code == 0 and f"{BOUNCES}: {new:g} is 0.15 again" in said.out
    assert content(flow) == before and learned(flow)["taken"] == []


def test_all_is_taken_at_once_and_what_does_not_check_is_not(
    run: Run, flow: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """--take-all writes every number that changes; where the check fails nothing is written."""
    run("flow", "learn", str(flow))
    before = content(flow)
    from wizard.learning import taking

    monkeypatch.setattr(taking.take, "__defaults__", (lambda _files: ("findings.toml:1:1: unsound",),))
    said = run("flow", "learn", str(flow), "--take-all")
    assert said.code == 3 and "Nothing was changed" in said.err and content(flow) == before
    monkeypatch.undo()
    assert run("flow", "learn", str(flow), "--take-all").code == 0
    changes = {n["id"]: n["new"] for n in learned(flow)["number"] if n["stands"] == "change"}
    assert learned(flow)["taken"][0]["since"] == changes and BOUNCES in changes


def test_a_flow_that_was_changed_since_is_not_written(run: Run, flow: Path) -> None:
    """By hand between learning and taking, and between taking and taking back."""
    run("flow", "learn", str(flow))
    findings = flow / "findings.toml"
    text = findings.read_text(encoding="utf-8")
    findings.write_text(
        text.replace("dampers-worn = 0.15 }", "dampers-worn = 0.3 }"), encoding="utf-8", newline="\n"
    )
    said = run("flow", "learn", str(flow), "--take", BOUNCES)
    assert said.code == 3 and "0.3 now, not 0.15" in said.err
    findings.write_text(text, encoding="utf-8", newline="\n")
    assert run("flow", "learn", str(flow), "--take", BOUNCES).code == 0
    findings.write_text(text, encoding="utf-8", newline="\n")
    said = run("flow", "learn", str(flow), "--undo")
    assert said.code == 3 and "by hand" in said.err


def test_what_was_left_out_is_named_in_lines_and_in_json(run: Run, flow: Path, home: Path) -> None:
    """A session with a broken seal; the rest speaks."""
    bad = places(home, ())[0].session
    journal = home / "sessions" / bad / "journal.toml"
    journal.write_bytes(journal.read_bytes().replace(b"It bangs", b"It hangs"))
    said = run("flow", "learn", str(flow), "--json", "--all")
    table = json.loads(said.out)
    assert table["proved"] == JOBS - 1 and table["left_out"] == {"can't be read": [bad]}
    assert {n["id"] for n in table["numbers"]} >= {BOUNCES, "leak:walks", "minutes:quick"}
    assert bad in run("flow", "learn", str(flow)).out


@pytest.mark.parametrize(
    ("args", "code", "said"),
    [
        (("--take", BOUNCES), 2, "nothing was learned yet"),
        (("--undo",), 2, "nothing was learned yet"),
        (("--undo", "--take-all"), 2, "--undo"),
        (("--take-all", "2026-01-01-a"), 2, "Learn from sessions first"),
        (("--by", "kin"), 2, "kind"),
        (("nowhere",), 2, "neither a session"),
    ],
)
def test_what_can_not_be_is_refused(
    run: Run, flow: Path, args: tuple[str, ...], code: int, said: str
) -> None:
    """In words, with the exit code of a wrong command line; nothing is written."""
    before = content(flow)
    found = run("flow", "learn", str(flow), *args)
    assert (found.code, found.out) == (code, "") and said in found.err
    assert content(flow) == before and not flow.with_name(flow.name + ENDING).exists()


def test_numbers_that_are_not_there_or_too_few_are_refused(run: Run, flow: Path) -> None:
    """By what was learned; and a proposal that somebody wrote by hand is none."""
    run("flow", "learn", str(flow))
    for number, said in (
        ("weight:gone:gone", "nothing was learned of such a number"),
        ("weight:plug-loose:wiring", "8 more are wanted"),
        ("plug", "names no number"),
    ):
        found = run("flow", "learn", str(flow), "--take", number)
        assert found.code == 2 and said in found.err
    path = flow.with_name(flow.name + ENDING)
    for text in (
        "format = 1\n",
        "no toml",
        path.read_text(encoding="utf-8").replace("format = 2", "format = 9"),
    ):
        path.write_text(text, encoding="utf-8")
        found = run("flow", "learn", str(flow), "--take", BOUNCES)
        assert found.code == 3 and "not what flow learn wrote" in found.err


def test_a_home_without_sessions_has_nothing_to_teach(run: Run, tmp_path: Path) -> None:
    """Said, and what to do; an empty home."""
    said = run("flow", "learn", str(GOOD))
    assert said.code == 2 and "Of 0 sessions none" in said.err
    assert not GOOD.with_name(GOOD.name + ENDING).exists()


def test_a_flow_that_came_with_an_installed_program_is_not_written(
    run: Run, flow: Path, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An update would overwrite it: what is learned lies where the shop's own copy would, and taking is refused."""
    monkeypatch.setattr(learn_command, "_installed", lambda folder: folder == flow)
    before = content(flow.parent)
    said = run("flow", "learn", str(flow))
    assert said.code == 0 and (home / "flows" / f"good{ENDING}").is_file(), said.err
    said = run("flow", "learn", str(flow), "--take", BOUNCES)
    assert said.code == 2 and "Copy it to flows" in said.err and content(flow.parent) == before
    shutil.copytree(flow, home / "flows" / "good")
    assert run("flow", "learn", "good", "--take", BOUNCES).code == 0
