"""What a shop trusts: the public keys of its computers, and the digests of the flows that it approved. A TOML file that
anybody may write by hand; a command adds to it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum, unique
from pathlib import Path
from typing import Any

import tomli_w

from wizard.errors import DetailsError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import NAME_LENGTH, SOURCE_LIMITS, Source, Unreadable
from wizard.foreign.toml_reader import read_toml
from wizard.journal.durable_io import lost, make_folder, put

NAME = "trusted.toml"
"""The file's name in the home folder."""

_DIGITS = re.compile(r"[0-9a-f]{64}")


@unique
class TrustedKind(StrEnum):
    """What stands in the file, by its tables' names: a computer by its public key, or a flow by its digest."""

    COMPUTER = "computer"
    FLOW = "flow"


_DIGITS_OF = {TrustedKind.COMPUTER: "public", TrustedKind.FLOW: "digest"}


@dataclass(frozen=True, slots=True)
class Trusted:
    """The shop's names of keys (by their 64 hex digits) and of flows (by their digests)."""

    keys: Mapping[str, str] = field(default_factory=dict)
    flows: Mapping[str, str] = field(default_factory=dict)


def load_trusted(root: Path) -> Trusted:
    """What the shop of a home trusts; nothing where there is no such file. DetailsError says what is wrong in it."""
    data = _bytes(root / NAME)
    return Trusted() if data is None else parse_trusted(data, str(root / NAME))


def parse_trusted(data: bytes, name: str = NAME) -> Trusted:
    """The same of the bytes of such a file."""
    try:
        table = read_toml(data, Source.TRUSTED)
    except ValueError as problem:
        raise DetailsError(f"{name}: this is not TOML in UTF-8 ({problem}).") from problem
    if strange := set(table) - {*TrustedKind}:
        raise DetailsError(
            f"{name}: {sorted(strange)[0]!r} is not known. It has tables [[computer]] and [[flow]]."
        )
    return Trusted(_rows(table, TrustedKind.COMPUTER, name), _rows(table, TrustedKind.FLOW, name))


def load_file(path: Path) -> Trusted:
    """What such a file says that lies elsewhere. UsageError where it isn't there, DetailsError where it is none."""
    data = _bytes(path)
    if data is None:
        raise UsageError(f"{path}: there is no such file, and it is no key of 64 digits.")
    return parse_trusted(data, str(path))


def key_table(name: str, public: str) -> bytes:
    """A file with one public key. UsageError where the name is none."""
    data = _row(TrustedKind.COMPUTER, name, public)
    try:
        parse_trusted(data, "The key")
    except DetailsError as problem:
        raise UsageError(str(problem)) from problem
    return data


def _rows(table: Mapping[str, Any], kind: TrustedKind, file: str) -> dict[str, str]:
    rows, digits = table.get(kind, []), _DIGITS_OF[kind]
    says = f'Each is [[{kind}]] with name = "..." and {digits} = "64 hex digits".'
    if not isinstance(rows, list):
        raise DetailsError(f"{file}: {kind} is no list of tables. {says}")
    found: dict[str, str] = {}
    for number, row in enumerate(rows, 1):
        if not isinstance(row, dict) or set(row) != {"name", digits}:
            raise DetailsError(f"{file}: {kind} {number} has other keys than name and {digits}. {says}")
        name, value = row["name"], row[digits]
        if not isinstance(name, str) or not any(map(str.isalnum, name)) or len(name) > NAME_LENGTH:
            raise DetailsError(f"{file}: {kind} {number} has no name. {says}")
        if not isinstance(value, str) or not _DIGITS.fullmatch(value):
            raise DetailsError(f"{file}: {kind} {number} ({name}): its {digits} is not 64 hex digits. {says}")
        if value in found:
            raise DetailsError(f"{file}: {kind} {number} ({name}) is that of {found[value]} once more.")
        found[value] = name
    return found


def trust(root: Path, kind: TrustedKind, name: str, value: str) -> None:
    """Add a key or a flow at the end of the file; what stands there, comments too, stays as it is.

    UsageError where it is there, or is none; DetailsError where the file has mistakes; JournalLost if the disk refuses.
    """
    path = root / NAME
    old = _bytes(path) or b""
    there = parse_trusted(old, str(path))
    known = there.keys if kind is TrustedKind.COMPUTER else there.flows
    if value in known:
        raise UsageError(f"{path}: {known[value]} has these digits already.")
    row = _row(kind, name, value)
    lines = old if not old or old.endswith(b"\n") else old + b"\n"
    new = lines + (b"\n" if lines else b"") + row
    try:
        parse_trusted(new, str(path))
    except DetailsError as problem:
        raise UsageError(f"{problem} Nothing was written.") from problem
    if len(new) > SOURCE_LIMITS[Source.TRUSTED].size:
        raise UsageError(f"{path}: it would be too large. Take out what is no longer used.")
    try:
        make_folder(root)
        put(path, new)
    except OSError as error:
        raise lost("write", path, error) from error


def _row(kind: TrustedKind, name: str, value: str) -> bytes:
    """A table of its own, which can stand behind whatever is there."""
    body = tomli_w.dumps({"name": name, _DIGITS_OF[kind]: value})
    return f"[[{kind}]]\n{body}".encode("utf-8", "replace")


def _bytes(path: Path) -> bytes | None:
    try:
        return read_file(path, Source.TRUSTED)
    except FileNotFoundError:
        return None
    except (OSError, Unreadable) as problem:
        raise DetailsError(f"{path}: can't be read ({problem}). Look at its permissions.") from problem
