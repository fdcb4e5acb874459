"""Numbers replaced in a flow's files: comments and layout stay, and nothing else changes."""

from __future__ import annotations

import tomllib

import pytest

from tests.helpers.jobs import GOOD
from wizard.errors import FlowError
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.parsing import flow_files
from wizard.learning.estimate import NumberId, NumberKind
from wizard.learning.number_edit import edited, number_in, number_text
from wizard.learning.numbered_flow import in_flow, with_numbers

LEAK = NumberId(NumberKind.LEAK, "walks")
WEIGHT = NumberId(NumberKind.WEIGHT, "walks", "transit-in")
SHARE = NumberId(NumberKind.SHARE, "dampers-worn", "front-loader")
MINUTES = NumberId(NumberKind.MINUTES, "quick")
ALL = {LEAK: 0.123, WEIGHT: 0.87, SHARE: 58.5, MINUTES: 4.0}


def files() -> dict[str, bytes]:
    return flow_files.read_folder(GOOD)


def test_every_kind_of_number_is_replaced_and_nothing_else() -> None:
    """Read again by the standard library's parser: as before but for these; the lines too."""
    before, changed = files(), edited(files(), ALL)
    assert set(changed) == {"findings.toml", "faults.toml", "inspections/quick.toml"}
    for name, content in changed.items():
        old, new = before[name].decode().splitlines(), content.decode().splitlines()
        assert len(old) == len(new)
        differ = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
        assert 1 <= len(differ) <= 2 and tomllib.loads(content.decode())
    flow = load_files({**before, **changed}, lambda _d: True)
    assert all(in_flow(flow, number) == value for number, value in ALL.items())
    assert (
        "weights = { dampers-worn = 0.5, transit-in = 0.87, wiring = 0.1, normal = 0.05 }"
        in changed["findings.toml"].decode()
    )


def test_a_flow_with_the_numbers_in_its_files_is_the_flow_with_them_as_a_value() -> None:
    """The two ways to other numbers come to the same, but for the digest."""
    before = load_files(files(), lambda _d: True)
    written = load_files({**files(), **edited(files(), ALL)}, lambda _d: True)
    held = with_numbers(before, ALL)
    assert (written.findings, written.faults, written.inspections) == (
        held.findings,
        held.faults,
        held.inspections,
    )
    assert len({before.digest, written.digest, held.digest}) == 3


@pytest.mark.parametrize("old", ["0.1", "1e-1", "0.1_0", "+0.1", ".1"])
@pytest.mark.parametrize("ends", ["\n", "\r\n"])
def test_numbers_comments_and_line_ends_as_people_write_them(old: str, ends: str) -> None:
    """Written otherwise, a comment behind it, Windows line ends, a byte order mark; what is no TOML is refused."""
    head = '# Weights\n[[finding]]  # the first\nid = "wälks"\nsays = "x"\n'
    text = f"{head}leak = {old}# so 0.1\nweights = {{ a = 0.9 }}\n"
    content = {"findings.toml": b"\xef\xbb\xbf" + text.replace("\n", ends).encode()}
    number = NumberId(NumberKind.LEAK, "wälks")
    if old == ".1":
        with pytest.raises(ValueError):
            edited(content, {number: 0.25})
        return
    new = edited(content, {number: 0.25})["findings.toml"]
    assert new == content["findings.toml"].replace(f"leak = {old}#".encode(), b"leak = 0.25#")
    assert number_in({"findings.toml": new}, number) == 0.25


def test_two_numbers_of_one_line_are_both_replaced() -> None:
    """From the end of the line to its beginning: a longer number moves no other."""
    other = NumberId(NumberKind.WEIGHT, "walks", "dampers-worn")
    text = edited(files(), {other: 0.123, WEIGHT: 0.456})["findings.toml"].decode()
    assert "{ dampers-worn = 0.123, transit-in = 0.456, wiring = 0.1, normal = 0.05 }" in text


@pytest.mark.parametrize(
    "number",
    [
        NumberId(NumberKind.LEAK, "gone"),
        NumberId(NumberKind.WEIGHT, "walks", "gone"),
        NumberId(NumberKind.SHARE, "dampers-worn", "gone"),
        NumberId(NumberKind.MINUTES, "supply"),
    ],
)
def test_a_number_that_is_not_there_is_refused(number: NumberId) -> None:
    """Named; a procedure of the library is not the flow's to change."""
    with pytest.raises(FlowError, match=str(number)):
        edited(files(), {LEAK: 0.2, number: 0.3})


def test_numbers_are_written_short() -> None:
    """Three decimals of a probability, one of a percent and of minutes; no zero behind the point."""
    numbers = (LEAK, 0.5), (LEAK, 0.1234), (SHARE, 14.0), (SHARE, 14.25), (MINUTES, 8.0)
    assert [number_text(number, value) for number, value in numbers] == ["0.5", "0.123", "14", "14.2", "8"]
    assert number_text(MINUTES, 10.0) == "10"


def test_ids_are_read_as_they_are_said() -> None:
    """Back and forth; what is none is refused."""
    for number in ALL:
        assert NumberId.read(str(number)) == number
    for text in ("walks", "weight:walks", "leak:", "leak:a:b", "size:walks"):
        with pytest.raises(ValueError, match="names no number"):
            NumberId.read(text)


@pytest.mark.parametrize("old", ["inf", "0x1", "0b1"])
def test_what_is_no_plain_number_is_left_to_its_writer(old: str) -> None:
    """TOML has other ways to write one; none of them is half replaced."""
    text = f'[[finding]]\nid = "x"\nleak = {old}\n'
    with pytest.raises(FlowError):
        edited({"findings.toml": text.encode()}, {NumberId(NumberKind.LEAK, "x"): 0.25})
