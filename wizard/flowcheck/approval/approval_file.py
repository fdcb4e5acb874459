"""The approval of a flow's claims, as a file beside its folder: who, when, why, and every claim on a line."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

import tomli_w

from wizard.errors import FlowError, UsageError
from wizard.flowcheck.approval.claim import Claim
from wizard.flowcheck.approval.claim_changes import comparable
from wizard.flowcheck.approval.claim_kinds import Bearing
from wizard.foreign.file_reader import read_file
from wizard.foreign.harmless import harmless
from wizard.foreign.limits import LINE_LENGTH, NAME_LENGTH, Source
from wizard.foreign.toml_reader import read_toml

FORMAT = 1
ENDING = ".approved.toml"
MOMENT = "%Y-%m-%dT%H:%M:%SZ"
"""How the time of an approval is written, UTC."""

HEAD = """# What this flow claims and people's safety rests on, approved by a named person: `steadfoot flow approve`.
# `steadfoot flow check` compares it with the flow. A demand asks for something, an allowance lets something be.
"""
_ARRAYS = {Bearing.DEMAND: "demands", Bearing.ALLOWANCE: "allowances"}


@dataclass(frozen=True, slots=True)
class Approval:
    """Who approved which claims of a flow, when (UTC, as text), and why."""

    flow: str
    by: str
    at: str
    reason: str
    claims: tuple[Claim, ...]

    @property
    def day(self) -> str:
        """The day of it, as 2026-11-30."""
        return self.at.partition("T")[0]


def path_of(folder: Path) -> Path:
    """Return where the approval of the flow in a folder lies: beside it, since it is no part of the flow."""
    whole = folder.resolve()
    return whole.with_name(whole.name + ENDING)


def usable_name(text: str) -> str:
    """The name of a person, tidied. UsageError where nobody could be known by it."""
    name = " ".join(text.split())
    if not any(letter.isalpha() for letter in name):
        raise UsageError("Whoever approves is known by a name: give one with letters, by --by.")
    return _short(name, NAME_LENGTH, "--by")


def usable_reason(text: str) -> str:
    """Why it is approved, tidied. UsageError where it says nothing."""
    reason = " ".join(text.split())
    if not any(letter.isalpha() for letter in reason):
        raise UsageError("Say why it is approved, in words, by --reason.")
    return _short(reason, LINE_LENGTH, "--reason")


def _short(text: str, most: int, option: str) -> str:
    if len(text) > most:
        raise UsageError(f"{option} has {len(text)} characters. Write it in {most}.")
    return harmless(text)


def to_toml(approval: Approval) -> bytes:
    """Return the bytes of the file: a claim a line, sorted, demands before allowances."""
    table: dict[str, Any] = {
        "format": FORMAT, "flow": approval.flow, "by": approval.by, "at": approval.at, "reason": approval.reason,
    }  # fmt: skip
    for bearing, name in _ARRAYS.items():
        table[name] = sorted(str(claim) for claim in approval.claims if claim.bearing is bearing)
    return (HEAD + tomli_w.dumps(table)).encode("utf-8")


def load(path: Path) -> Approval | None:
    """Return the approval of a file; None where there is no file. FlowError where it is none, or can't be read."""
    try:
        return _approval(read_toml(read_file(path, Source.APPROVAL), Source.APPROVAL))
    except FileNotFoundError:
        return None
    except OSError as error:
        raise FlowError(f"{path}: can't be read ({error.strerror}). Look at its permissions.") from error
    except (ValueError, LookupError, TypeError, AttributeError) as problem:
        why = harmless(f"{problem!s:.200}")
        raise FlowError(
            f"{path}: this is not what flow approve wrote ({why}). Restore it from version control, or remove it and "
            "approve anew."
        ) from problem


def _approval(held: Mapping[str, Any]) -> Approval:
    if held["format"] != FORMAT:
        raise ValueError(f"format {held['format']} instead of {FORMAT}")
    at = _text(held["at"])
    datetime.strptime(at, MOMENT)  # noqa: DTZ007  The Z is part of the form.
    by = _text(held["by"])
    if not any(letter.isalpha() for letter in by):
        raise ValueError("nobody's name in by")
    return Approval(_text(held["flow"]), by, at, _text(held["reason"]), _claims(held))


def _claims(held: Mapping[str, Any]) -> tuple[Claim, ...]:
    found: dict[Any, tuple[str, Claim]] = {}
    for bearing, name in _ARRAYS.items():
        for line, claim in _read(held[name]):
            if claim.bearing is not bearing:
                raise ValueError(f"not one of the {name}: {claim}")
            if claim.key in found:
                raise ValueError(f"twice: {claim}")
            found[claim.key] = line, claim
    return tuple(claim for _line, claim in sorted(found.values(), key=lambda pair: pair[0]))


def _read(lines: Iterable[Any]) -> Iterable[tuple[str, Claim]]:
    """Each line with its claim: the line is how a claim is written, so it need not be written again to be sorted."""
    return ((text, comparable(Claim.read(text))) for text in map(_text, lines))


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError(f"{value!r:.60} is no text")
    return harmless(value)
