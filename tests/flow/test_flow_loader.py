"""Loading: quickly where the digest is known, checked where it isn't, and the same flow either way."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.helpers.flows.flow_folders import GOOD, edited, good
from wizard.errors import FlowError, UsageError
from wizard.flow.authoring.scaffold import usable_id
from wizard.flow.loading.flow_loader import load, load_files
from wizard.flow.loading.static_check import examine
from wizard.flow.model import END, MeasureStep
from wizard.flow.parsing.flow_files import LARGEST, digest, kind_of, read_folder


def test_quick_and_checked_loading_give_the_same_flow() -> None:
    """A flow known to be sound is the very flow that the check lets through."""
    assert load(GOOD, known=lambda _: True) == load(GOOD)


def test_known_is_asked_for_the_digest() -> None:
    """The quick way is taken for the digest of exactly these files."""
    asked: list[str] = []
    load_files(good(), known=lambda d: bool(asked.append(d)))
    assert asked == [digest(good())]


def test_the_quick_way_needs_neither_pydantic_nor_tree_sitter() -> None:
    """Importing the loader, and loading a flow known to be sound, import no checking library."""
    code = (
        "import sys\nfrom pathlib import Path\nfrom wizard.flow.loading.flow_loader import load\n"
        "import wizard.flow.loading.shipped_flows\n"
        "import wizard.flow.parsing.case_builder, wizard.flow.loading.service_sheet\n"
        f"flow = load(Path({str(GOOD)!r}), known=lambda d: True)\n"
        "print(flow.id, [m for m in sys.modules if m.split('.')[0] in"
        " ('pydantic', 'pydantic_core', 'tree_sitter', 'tree_sitter_toml', 'numpy', 'textual')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "washer-bounce []"


def test_a_broken_flow_said_to_be_known_is_explained_and_not_raised() -> None:
    """Where a digest is wrongly known and the flow can't be built, the check says why."""
    with pytest.raises(FlowError, match=r'flow\.toml:2:1 .*"title" is missing'):
        load_files(edited("flow.toml", 'title = "Washer that bounces"\n', ""), known=lambda _: True)


def test_the_digest_changes_with_any_byte_a_session_runs_on() -> None:
    """Every file but the cases counts, and so does its name."""
    first = digest(good())
    for name, data in good().items():
        changed = digest(good(**{name: data + b"\n"}))
        assert (changed == first) == name.startswith("cases/")
    moved = good(**{"inspections/spin.toml": None, "inspections/spun.toml": good()["inspections/spin.toml"]})
    assert digest(moved) != first


def test_the_digest_can_not_be_shifted_between_name_and_content() -> None:
    """Names and contents are told apart by their length."""
    assert digest({"drawings/a.txt": b"b"}) != digest({"drawings/a.txtb": b"", "drawings/a.txt": b""})
    assert len(digest({})) == 64


@pytest.mark.parametrize(
    ("name", "kind"),
    [
        ("flow.toml", "flow"),
        ("limits.toml", "limits"),
        ("inspections/feet.toml", "inspection"),
        ("drawings/feet.txt", "drawing"),
        ("cases/a.toml", "case"),
        ("drawings/feet.toml", ""),
        ("library/machine.toml", "machine"),
        ("library/procedures/isolation/power.toml", "procedure"),
        ("library/drawings/feet.txt", "drawing"),
        ("library/cases/a.toml", ""),
        ("procedures/power.toml", ""),
        ("inspections/standing/feet.toml", "inspection"),
        ("inspections/standing/deep/feet.toml", ""),
        ("feet.toml", ""),
        ("cases", ""),
    ],
)
def test_a_file_is_what_its_place_and_name_say(name: str, kind: str) -> None:
    """Only the named files, the three folders and the library are read."""
    assert (kind_of(name) or "") == kind


def test_a_case_that_is_wrong_does_not_stop_a_session(tmp_path: Path) -> None:
    """Cases are tests of a flow: ``load`` leaves them out, ``check`` doesn't."""
    files = edited("cases/worn.toml", 'top = "dampers-worn"', 'top = "damper-worn"')
    assert load_files(files) == load_files(good())
    for name, data in files.items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True, parents=True)
        path.write_bytes(data)
    (problem,) = examine(read_folder(tmp_path)).problems
    assert str(problem).startswith("cases/worn.toml:15:7 ")


def test_line_ends_and_byte_order_marks_change_nothing() -> None:
    """A flow saved by an editor for Windows has the same values and places."""
    files = {name: b"\xef\xbb\xbf" + data.replace(b"\n", b"\r\n") for name, data in good().items()}
    same = load_files(files)
    assert (same.inspections, same.drawings, same.limits) == (
        load_files(good()).inspections,
        load_files(good()).drawings,
        load_files(good()).limits,
    )


def test_a_folder_without_a_flow_is_refused(tmp_path: Path) -> None:
    """The error names the folder and what is missing in it."""
    with pytest.raises(FlowError, match=r"no flow\.toml here"):
        load(tmp_path)
    with pytest.raises(FlowError, match=r"no flow\.toml here"):
        read_folder(tmp_path / "nowhere")


def test_a_file_too_large_to_be_a_flow_is_refused(tmp_path: Path) -> None:
    """A file over the bound isn't read at all."""
    (tmp_path / "flow.toml").write_bytes(b"#" * (LARGEST + 1))
    with pytest.raises(FlowError, match="over 1 MB"):
        read_folder(tmp_path)


@pytest.mark.parametrize("name", ["limits.toml", "findings.toml", "faults.toml", "flow.toml"])
def test_a_missing_file_is_one_problem(name: str) -> None:
    """A missing file is said once, at its name, not once for everything that was in it."""
    with pytest.raises(FlowError) as raised:
        load_files(good(**{name: None}))
    assert [p for p in raised.value.problems if p.startswith(f"{name}:1:1 {name} is missing")]


def test_values_are_in_si() -> None:
    """Readings, limits and tools are SI: 10 mm is 0.01 m, 20 % is 0.2 (SI Brochure, 9th edition)."""
    flow = load(GOOD)
    moved = flow.limits["moved"][0]
    assert [band.top for band in moved.bands] == [0.005, 0.01, None]
    assert flow.limits["damper-spread"][0].bands[0].top == 0.2
    step = flow.inspections["spin"].steps[0]
    assert isinstance(step, MeasureStep)
    run = step.reading
    assert (run.low, run.high, run.usual) == (0.0, 0.5, 0.001)
    assert (flow.tools["rule"].resolution, flow.tools["rule"].uncertainty) == (0.0005, 0.0003)


def test_what_a_file_leaves_out_is_filled_in() -> None:
    """Answers lead to the next step, the last to the end; a verdict left out is there; look has yes and no."""
    dampers = load(GOOD).inspections["dampers"]
    assert [a.next.step for a in dampers.steps[0].answers] == ["pull"] * 3
    assert [a.id for a in dampers.steps[1].answers] == ["pass", "watch", "fail"]
    assert (dampers.steps[3].answers[0].id, dampers.steps[3].answers[0].next) == ("done", END)
    tissue = load(GOOD).inspections["hoses"].step("tissue")
    assert tissue is not None
    assert [(a.id, a.says) for a in tissue.answers] == [("yes", "Yes"), ("no", "No")]


def test_a_look_with_one_answer_has_the_other() -> None:
    """Of yes and no, the one left out is there and has no effect."""
    flow = load_files(edited("inspections/hoses.toml", '[[step.answer]]\nid = "no"\nverdict = "fail"\n', ""))
    no = flow.inspections["hoses"].steps[0].answer("no")
    assert no is not None
    assert (no.says, no.next, no.verdict) == ("No", END, None)


@pytest.mark.skipif(sys.platform == "win32", reason="no such file can be there")
@pytest.mark.parametrize(
    "name", ["inspections/con.toml", "inspections/x:y.toml", "drawings/nul.x.txt", "cases/aux/x.toml"]
)
def test_a_flow_with_a_file_that_no_windows_can_hold_is_refused(tmp_path: Path, name: str) -> None:
    """Here too: a session of it could be sent nowhere."""
    folder = tmp_path / "flow"
    shutil.copytree(GOOD, folder)
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_bytes(b"")
    with pytest.raises(FlowError, match="can't be named so: Windows"):
        read_folder(folder)


def test_a_flow_s_id_is_no_device_of_windows() -> None:
    with pytest.raises(UsageError, match="for a device"):
        usable_id("con")
