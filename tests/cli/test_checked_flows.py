"""The memory of flows that were checked already."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.helpers.jobs import GOOD
from wizard.cli import checked_flows
from wizard.cli.checked_flows import MOST, NAME, CheckedFlows
from wizard.cli.context import CommandContext


@pytest.fixture(autouse=True)
def installed(monkeypatch: pytest.MonkeyPatch) -> None:
    """As if the program were installed from its wheel."""
    monkeypatch.setattr(checked_flows, "in_tree", lambda: False)


def test_a_flow_that_passed_is_known_from_then_on(home: Path) -> None:
    """By its digest, also to the next start."""
    flow = CommandContext(home).load(GOOD)
    assert CheckedFlows(home)(flow.digest)
    assert not CheckedFlows(home)("0" * 64)


def test_a_known_flow_is_loaded_without_the_check(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second load imports no checker and gives the same flow."""
    flow = CommandContext(home).load(GOOD)
    monkeypatch.setattr(
        "wizard.flow.loading.flow_loader._checked", lambda _content: pytest.fail("it was checked again")
    )
    assert CommandContext(home).load(GOOD) == flow


def test_another_version_checks_again(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its checks may be others."""
    flow = CommandContext(home).load(GOOD)
    monkeypatch.setattr(checked_flows, "VERSION", "99")
    assert not CheckedFlows(home)(flow.digest)


@pytest.mark.parametrize(
    "text", ["", "{", "[]", '{"program": 1}', '{"sound": 3}', '{"sound": [1, {}]}', "\udcff"]
)
def test_a_memory_that_is_damaged_knows_nothing(home: Path, text: str) -> None:
    """And is written anew."""
    home.mkdir()
    (home / NAME).write_bytes(text.encode("utf-8", "surrogateescape"))
    checked = CheckedFlows(home)
    assert not checked("a" * 64)
    checked.remember("a" * 64)
    assert checked("a" * 64)


def test_the_memory_is_bounded(home: Path) -> None:
    """The oldest are forgotten."""
    checked = CheckedFlows(home)
    for number in range(MOST + 5):
        checked.remember(f"{number:064}")
    assert len(json.loads((home / NAME).read_text(encoding="utf-8"))["sound"]) == MOST
    assert not checked(f"{0:064}") and checked(f"{MOST + 4:064}")


def test_a_home_that_cant_be_written_costs_only_time(tmp_path: Path) -> None:
    """The flow is loaded all the same."""
    (tmp_path / "file").write_text("in the way", encoding="utf-8")
    assert CommandContext(tmp_path / "file" / "home").load(GOOD).id == "washer-bounce"


def test_a_working_tree_has_no_memory(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """There the checks change while the version stays."""
    monkeypatch.setattr(checked_flows, "in_tree", lambda: True)
    CommandContext(home).load(GOOD)
    assert not home.exists()
