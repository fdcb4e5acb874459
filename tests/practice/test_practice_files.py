"""The files of a practice machine: what ships is sound, and what is wrong in one is said with its place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.helpers.practice_jobs import shipped_practice
from wizard.errors import FlowError
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.practice.declaring.coverage_checks import evidence_steps
from wizard.practice.declaring.practice_vocabulary import UNITS, MachineQuantity
from wizard.practice.observables import OBSERVABLES
from wizard.practice.practice_loader import load_practice, practice_folder

BROKEN = [
    ("senses.toml", 'steps = ["feet.slope"]', 'steps = ["feet.slop"]', 'no step "feet.slop"', "feet.slope"),
    ("senses.toml", 'reads = "foot-lift"', 'reads = "foot-lifts"', 'no observable "foot-lifts"', "foot-lift"),
    ("senses.toml", 'reads = "drain-time"', 'reads = "rear-gap"', "is read in s, and rear-gap is in mm", ""),
    (
        "senses.toml",
        '{ answer = "held", up_to = 0.7 }',
        '{ answer = "held" }',
        "every answer but the last",
        "",
    ),
    (
        "senses.toml",
        '{ answer = "little", up_to = 2.5 }',
        '{ answer = "few", up_to = 2.5 }',
        'no answer "few"',
        "",
    ),
    ("senses.toml", "blur = 2", "blurr = 2", '"blurr" is not a key here', ""),
    ("senses.toml", 'steps = ["feet.rock"]', 'steps = ["feet.slope"]', "another rule answers it already", ""),
    (
        "senses.toml",
        'steps = ["bounce.rests"]',
        'steps = ["bounce.period"]',
        "bounce.rests tells a finding",
        "",
    ),
    (
        "chances.toml",
        "stack = [0.7, 0.9, 0.97]",
        "stack = [0.9, 0.7, 0.97]",
        "none less than the one before",
        "",
    ),
    ("chances.toml", "stack = [0.7, 0.9, 0.97]", "stak = [0.7, 0.9, 0.97]", 'no fault "stak"', "stack"),
    ("chances.toml", 'usual = "turns"', 'usual = "turned"', 'no answer "turned"', "turns"),
    ("chances.toml", "stack = [0.7, 0.9, 0.97]", "stack = [0.7, 0.9]", "", ""),
    (
        "machines.toml",
        "drive = { belt = 0.6, direct = 0.4 }",
        "drive = { belt = 0.6, direct = 0.5 }",
        "come to 1.1",
        "",
    ),
    ("machines.toml", "hung-mass = { from = 42", "hung-mas = { from = 42", "hung-mas", ""),
    ("machines.toml", "hung-mass = { from = 42", "hung-mass = { from = 142", "is above to 60", ""),
    ("machines.toml", "dial = 0.3", "dail = 0.3", 'no tool "dail"', "dial"),
    ("faults.toml", 'id = "pads"', 'id = "pad"', 'no fault "pad"', "pads"),
    ("faults.toml", 'how = "times"', 'how = "by"', "", ""),
]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the shipped files."""
    return Path(shutil.copytree(practice_folder("washer-shake"), tmp_path / "washer-shake"))


@pytest.mark.parametrize(("file", "right", "wrong", "says", "meant"), BROKEN)
def test_what_is_wrong_is_said_with_its_place(
    folder: Path, file: str, right: str, wrong: str, says: str, meant: str
) -> None:
    """One wrong word each: the error names the file, its line, what is wrong and what may be meant."""
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert right in text
    path.write_text(text.replace(right, wrong, 1), encoding="utf-8")
    with pytest.raises(FlowError) as raised:
        load_practice(folder, shipped_practice()[0])
    told = "\n".join(raised.value.problems)
    assert says in told
    assert f"{file}:" in told or "tells a finding" in told or "is not declared" in told
    assert not meant or f'Did you mean "{meant}"?' in told


def test_a_file_that_is_no_toml_and_a_folder_without_files_are_said(folder: Path, tmp_path: Path) -> None:
    """Both by one plain sentence."""
    flow = shipped_practice()[0]
    (folder / "customer.toml").write_text("[[tick\n", encoding="utf-8")
    with pytest.raises(FlowError, match=r"customer\.toml"):
        load_practice(folder, flow)
    with pytest.raises(FlowError, match="holds a practice machine"):
        load_practice(tmp_path, flow)


def test_two_tables_of_people_or_none_are_said(folder: Path) -> None:
    """Nobody can tell which of two holds."""
    (folder / "more.toml").write_text("[people]\nerrs = 0\nslips = 0\nmisreads = 0\n", encoding="utf-8")
    with pytest.raises(FlowError, match=r"only one, has \[people\]"):
        load_practice(folder, shipped_practice()[0])


def test_every_step_that_tells_a_finding_has_a_rule() -> None:
    """No evidence comes from the usual answer: each step of evidence has a sense or chances."""
    flow, practice = shipped_practice()
    assert set(evidence_steps(flow)) <= set(practice.rules)
    assert len(evidence_steps(flow)) > 60


def test_the_flow_itself_is_as_sound_with_its_practice_beside_it() -> None:
    """The practice machine lies beside the flow and is no part of it: neither a stray file nor a new digest."""
    assert load(folder_of("washer-shake")) == shipped_practice()[0]


def test_every_observable_and_quantity_has_a_unit_and_is_used() -> None:
    """No quantity without a unit; no file names an observable that isn't there (the loader), few stand idle."""
    practice = shipped_practice()[1]
    assert set(UNITS) == set(MachineQuantity)
    read = {
        r.reads
        for rule in practice.rules.values()
        for r in (rule if isinstance(rule, tuple) else (rule,))
        if hasattr(r, "reads")
    }
    assert read <= set(OBSERVABLES)
    assert len(read) > 45
