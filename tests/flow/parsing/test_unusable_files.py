"""A file that is lost: its cause is said at its place, and nothing of what follows from it in other files."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.helpers.flows.flow_folders import good
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import SINGLE
from wizard.flow.problems import Problem

Lose = Callable[[bytes], bytes]
WAYS: dict[str, Lose] = {
    "empty": lambda _data: b"",
    "no UTF-8 from its first byte": lambda _data: b"\xe9",
    "no UTF-8 in the middle": lambda data: data[: len(data) // 2] + b"\xff" + data[len(data) // 2 :],
    "no TOML": lambda data: b"= =\n" + data,
}
OF_INSPECTIONS: dict[str, Lose] = {
    "its head misspelt": lambda data: data.replace(b"[inspection]", b"[inspecton]"),
    "another id": lambda data: data.replace(b'\nid = "', b'\nid = "other-', 1),
}


def lost(name: str, lose: Lose) -> tuple[Problem, ...]:
    """The problems of the small flow with one file lost."""
    whole = good()
    return examine({**whole, name: lose(whole[name])}).problems


NAMES = sorted(n for n in good() if not n.startswith(("cases/", "library/")))


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("name", NAMES)
def test_only_the_cause_is_said(name: str, way: str) -> None:
    """One or two lines, all of the file that was lost."""
    found = lost(name, WAYS[way])
    assert {p.file for p in found} == {name}, list(map(str, found))
    assert len(found) <= 2


@pytest.mark.parametrize("way", OF_INSPECTIONS)
@pytest.mark.parametrize("name", [n for n in NAMES if n.startswith("inspections/")])
def test_an_inspection_without_its_head_or_id(name: str, way: str) -> None:
    """One line, in its file. What nothing names keeps whatever id it is given."""
    found = lost(name, OF_INSPECTIONS[way])
    assert {p.file for p in found} <= {name}, list(map(str, found))
    assert len(found) == 1 or (way == "another id" and not found)


def test_an_id_that_nothing_names_while_its_files_name_is_named() -> None:
    """It says how often the file's name is named, and what to write."""
    (found,) = lost("inspections/quick.toml", OF_INSPECTIONS["another id"])
    assert str(found) == (
        'inspections/quick.toml:2:6 3 places name "quick", and nothing names "other-quick". Write id = "quick"'
    )


def test_an_id_of_another_is_the_fault_of_the_file_that_is_called_otherwise() -> None:
    """The inspection that the file is called by isn't said to be missing, sixty times over."""
    (found,) = lost("inspections/motor.toml", lambda d: d.replace(b'id = "motor"', b'id = "spin"', 1))
    assert (found.file, found.line, found.rule) == ("inspections/motor.toml", 2, "id")
    assert '"spin" is already the id of another, at inspections/spin.toml:2' in found.text


@pytest.mark.parametrize("name", [n for n in SINGLE if n != "flow.toml"])
def test_a_file_that_was_emptied_is_said_to_be(name: str) -> None:
    """Though no key of it is required, others name what it held."""
    (found,) = lost(name, WAYS["empty"])
    assert (found.line, found.column, found.severity) == (1, 1, "error")


def test_a_name_that_is_misspelt_is_still_said() -> None:
    """A lost file hides what follows from it, and nothing else."""
    files = good()
    files["findings.toml"] = b"\xe9"
    text = files["flow.toml"].decode()
    assert text.count('"motor"') == 1
    files["flow.toml"] = text.replace('"motor"', '"moter"').encode()
    assert [p.file for p in examine(files).problems] == ["findings.toml", "flow.toml"]
