"""What the desk reads of a folder: whatever lies there, it says what is so."""

from __future__ import annotations

import shutil
from datetime import UTC, datetime
from pathlib import Path

import pytest

from tests.helpers.jobs import GOOD
from wizard.flowcheck.approval.approving import approve
from wizard.flowcheck.approval.claim_changes import ClaimShift
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.desk.flow_reading import read_flow

NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A flow of a trainer's own."""
    return Path(shutil.copytree(GOOD, tmp_path / "own-flow"))


def edited(path: Path, old: str, new: str) -> None:
    """An editor saves a file."""
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_a_sound_flow_has_its_steps_and_cases(folder: Path) -> None:
    """And warnings: nobody approved it yet."""
    reading = read_flow(folder)
    assert reading.sound and not reading.errors and reading.flow is not None and not reading.played
    assert "approved" in {p.rule for p in reading.problems}
    assert {case.id for case in reading.cases} >= {"worn", "hot-plug"}


def test_an_error_of_form_has_its_line(folder: Path) -> None:
    """There is no flow then, and the line of the file is there to be shown."""
    edited(folder / "inspections" / "dampers.toml", "\ndo = ", "\ndoo = ")
    reading = read_flow(folder)
    assert reading.flow is None and reading.errors >= 1 and not reading.cases
    first = reading.problems[0]
    assert first.file == "inspections/dampers.toml"
    assert reading.source(first.file)[first.line - 1].startswith("doo = ")


def test_errors_come_before_warnings_and_cases_last(folder: Path) -> None:
    """A case that names what a flow has no more stands behind what took it away."""
    edited(folder / "cases" / "worn.toml", '"dampers.bounce"', '"dampers.bounces"')
    edited(folder / "limits.toml", "\nsource = ", "\nsorce = ")
    files = [p.file for p in read_flow(folder).problems if p.severity == "error"]
    assert files[0] == "limits.toml" and files[-1] == "cases/worn.toml"


@pytest.mark.parametrize("gone", ["flow.toml", ""])
def test_what_cant_be_read_says_why(folder: Path, gone: str) -> None:
    """A flow.toml that is gone, a folder that is gone: a sentence, and nothing is raised."""
    if gone:
        (folder / gone).unlink()
    else:
        shutil.rmtree(folder)
    reading = read_flow(folder)
    assert "no flow.toml here" in reading.trouble and reading.flow is None and not reading.sound


def test_what_differs_from_what_was_approved_is_listed(folder: Path) -> None:
    """A need that was taken out asks for less than a person approved."""
    reading = read_flow(folder)
    assert reading.flow is not None
    approve(folder, reading.flow, "Jo Miller", "First reading", claims(reading.flow), NOW)
    found = read_flow(folder)
    assert "approved" not in {p.rule for p in found.problems} and found.differing == ()
    edited(folder / "inspections" / "dampers.toml", 'needs = { front = ["off"] }\n', "")
    found = read_flow(folder)
    assert [change.shift for change in found.differing] == [ClaimShift.WEAKER]
    assert not found.sound and [p.rule for p in found.problems if p.severity == "error"] == ["approved"]


def test_the_cases_are_played_where_asked(folder: Path) -> None:
    """Then each says how it ended."""
    reading = read_flow(folder, play=True)
    assert reading.played and reading.checked is not None
    assert {one.case: one.ok for one in reading.checked.played} == {case.id: True for case in reading.cases}
