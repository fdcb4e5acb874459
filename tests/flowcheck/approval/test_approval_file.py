"""The approval beside a flow: written, read back, and refused in words where it is none."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.helpers.jobs import good
from wizard.errors import FlowError, UsageError
from wizard.flowcheck.approval.approval_file import (
    Approval,
    load,
    path_of,
    to_toml,
    usable_name,
    usable_reason,
)
from wizard.flowcheck.approval.flow_claims import claims

APPROVAL = Approval("bounce", "R. Vale", "2026-03-02T09:00:00Z", "First reading", claims(good()))


def test_it_is_read_as_it_was_written(tmp_path: Path) -> None:
    """Every claim, who, when and why; a claim a line, sorted."""
    path = path_of(tmp_path / "bounce")
    assert path == (tmp_path / "bounce.approved.toml").resolve() and load(path) is None
    path.write_bytes(to_toml(APPROVAL))
    assert load(path) == APPROVAL and APPROVAL.day == "2026-03-02"
    lines = [line.strip() for line in path.read_text("utf-8").splitlines() if line.startswith("    ")]
    middle = next(n for n, line in enumerate(lines) if n and line < lines[n - 1])
    assert len(lines) == len(APPROVAL.claims)
    assert lines[:middle] == sorted(lines[:middle]) and lines[middle:] == sorted(lines[middle:])


def test_one_claim_more_is_one_line_more() -> None:
    """So that a difference in version control reads well."""
    fewer = replace(APPROVAL, claims=APPROVAL.claims[1:])
    less, all_of_it = (to_toml(a).decode().splitlines() for a in (fewer, APPROVAL))
    assert len(all_of_it) - len(less) == 1 and set(less) < set(all_of_it)


BROKEN = {
    "no TOML": (b"by = ", "not what flow approve wrote"),
    "no UTF-8": (b"\xff\xfe", "not what flow approve wrote"),
    "nothing": (b"", "not what flow approve wrote"),
    "format": (to_toml(APPROVAL).replace(b"format = 1", b"format = 2"), "format 2 instead of 1"),
    "nobody": (to_toml(APPROVAL).replace(b'"R. Vale"', b'"--"'), "nobody's name"),
    "no time": (to_toml(APPROVAL).replace(b"2026-03-02T", b"yesterday"), "does not match"),
    "no claim": (to_toml(APPROVAL).replace(b": needs ", b": wants ", 1), "no claim"),
    "no text": (to_toml(APPROVAL).replace(b"demands = [", b"demands = [3, "), "is no text"),
    "no list": (to_toml(APPROVAL).replace(b"demands = [", b"others = ["), "demands"),
    "wrong list": (to_toml(APPROVAL).replace(b"allowances", b"x").replace(b"demands", b"allowances"), ""),
    "no number": (
        to_toml(APPROVAL).replace(b"is uncertain by at least = ", b"is uncertain by at least = x"),
        "x",
    ),
}


@pytest.mark.parametrize("name", BROKEN)
def test_what_is_no_approval_is_refused_in_words(tmp_path: Path, name: str) -> None:
    """A FlowError that says where, what and how to mend it."""
    data, said = BROKEN[name]
    path = tmp_path / "bounce.approved.toml"
    path.write_bytes(data)
    with pytest.raises(FlowError, match="Restore it from version control") as refused:
        load(path)
    assert str(path) in str(refused.value) and said in str(refused.value)


def test_a_claim_that_is_there_twice_is_refused(tmp_path: Path) -> None:
    """Nobody could say which of the two was approved."""
    path = tmp_path / "bounce.approved.toml"
    path.write_bytes(to_toml(replace(APPROVAL, claims=(*APPROVAL.claims, APPROVAL.claims[0]))))
    with pytest.raises(FlowError, match="twice"):
        load(path)


def test_what_a_terminal_obeys_is_made_harmless(tmp_path: Path) -> None:
    """In a name, a reason and a claim alike."""
    path = tmp_path / "bounce.approved.toml"
    path.write_bytes(to_toml(replace(APPROVAL, by="R.\x1b[2J Vale", reason="\u202eso")))
    found = load(path)
    assert found is not None and (found.by, found.reason) == ("R.\\x1b[2J Vale", "\\u202eso")


@pytest.mark.parametrize("text", ["", "  ", "123", "--", "A" * 81])
def test_a_name_has_letters_and_an_end(text: str) -> None:
    """Whoever approves is known by it."""
    with pytest.raises(UsageError, match="--by"):
        usable_name(text)


@pytest.mark.parametrize("text", ["", "...", "a" * 301])
def test_a_reason_has_words_and_an_end(text: str) -> None:
    """It says why."""
    with pytest.raises(UsageError, match="--reason"):
        usable_reason(text)
