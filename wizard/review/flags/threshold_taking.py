"""A threshold put into a shop's own file, its comments kept, and taken back: the file is then what it was before."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import tomli_w

from wizard.errors import JournalError, UsageError
from wizard.foreign.file_reader import read_file
from wizard.foreign.limits import Source
from wizard.foreign.toml_reader import read_toml
from wizard.journal.durable_io import lost, make_folder, put
from wizard.review.flags.flag_id import FlagId
from wizard.review.flags.thresholds import NAME, load, merge

TAKEN = "flags.taken.toml"
"""What was taken, beside the shop's thresholds: what the file was before each time, so that it can be had back."""

_FORMAT = 1
_HEADER = re.compile(r"\s*\[\s*([\w-]+)\s*\]\s*(#.*)?")


@dataclass(frozen=True, slots=True)
class TakenThreshold:
    """One that was taken: the number before and after. ``text``: the whole file before, empty where there was none;
    ``written``: SHA-256 of the file as it was written.
    """

    rule: str
    key: str
    was: float
    now: float
    at: str
    text: str
    written: str


def take(home: Path, rule: FlagId, key: str, value: float, at: str) -> TakenThreshold:
    """Put a number into HOME/flags.toml. ``at``: the moment, for the record of it.

    UsageError where the shop's file is none, or has the rule in a form that this doesn't change; JournalLost where the
    disk refuses.
    """
    was, before = load(home).number(rule, key), _text(home)
    text = with_number(before, rule, key, value)
    wanted = {name: dict(table) for name, table in load(home).rules.items()}
    wanted[rule][key] = value
    try:
        found = merge(read_toml(text.encode("utf-8"), Source.FLAGS), NAME)
    except ValueError:
        found = None
    if found is None or found.rules != wanted:
        raise UsageError(
            f"{home / NAME}: [{rule}] is written in a form that this command doesn't change. Write {key} = "
            f"{_number(value)} there yourself."
        )
    one = TakenThreshold(rule.value, key, was, value, at, before, _digest(text))
    every = (*taken(home), one)
    # The record first: who is ended in between finds a taking whose file is still what it was before.
    _put(home, TAKEN, _dumps(every))
    _put(home, NAME, text.encode("utf-8"))
    return one


def undo(home: Path) -> TakenThreshold:
    """Take the last one back: HOME/flags.toml is what it was before. UsageError where nothing was taken, or the file
    was changed since; JournalLost where the disk refuses.
    """
    every = taken(home)
    if not every:
        raise UsageError("No threshold was taken, so none can be taken back.")
    last = every[-1]
    there = _text(home)
    if there != last.text and _digest(there) != last.written:
        raise UsageError(
            f"{home / NAME}: it was changed since {last.rule} {last.key} was taken. Write {_number(last.was)} there "
            f"yourself, in place of {_number(last.now)}."
        )
    if last.text:
        _put(home, NAME, last.text.encode("utf-8"))
    else:
        _remove(home / NAME)
    if every[:-1]:
        _put(home, TAKEN, _dumps(every[:-1]))
    else:
        _remove(home / TAKEN)
    return last


def taken(home: Path) -> tuple[TakenThreshold, ...]:
    """All that were taken and not taken back, the oldest first. JournalError where their file can't be read."""
    path = home / TAKEN
    hint = "Remove it: the thresholds stay as they are."
    try:
        table = read_toml(read_file(path, Source.REVIEW), Source.REVIEW)
    except FileNotFoundError:
        return ()
    except (ValueError, OSError) as error:
        raise JournalError(f"{path}: can't be read ({error}). {hint}") from error
    rows = table.get("taken", [])
    if table.get("format") != _FORMAT or not isinstance(rows, list):
        raise JournalError(f"{path}: not of format {_FORMAT}. {hint}")
    return tuple(_row(path, row, hint) for row in rows)


_KINDS: Mapping[str, tuple[type, ...]] = {
    "rule": (str,), "key": (str,), "was": (int, float), "now": (int, float), "at": (str,), "text": (str,),
    "written": (str,),
}  # fmt: skip


def _row(path: Path, row: Any, hint: str) -> TakenThreshold:
    fine = isinstance(row, dict) and row.keys() == _KINDS.keys()
    if not fine or any(not isinstance(row[key], kinds) for key, kinds in _KINDS.items()):
        raise JournalError(f"{path}: a [[taken]] can't be read: its keys are {', '.join(_KINDS)}. {hint}")
    return TakenThreshold(**row)


def _dumps(every: tuple[TakenThreshold, ...]) -> bytes:
    rows = [{key: getattr(one, key) for key in _KINDS} for one in every]
    return tomli_w.dumps({"format": _FORMAT, "taken": rows}).encode("utf-8")


def with_number(text: str, rule: FlagId, key: str, value: float) -> str:
    """The text of a shop's file with a number put in: over the one that is there, else under its table, else at the
    end.
    """
    lines = text.splitlines(keepends=True)
    heads = [
        n for n, line in enumerate(lines) if (m := _HEADER.fullmatch(line.rstrip("\r\n"))) and m[1] == rule
    ]
    if not heads:
        end = "" if not text or text.endswith("\n") else "\n"
        return f"{text}{end}{chr(10) if text else ''}[{rule}]\n{key} = {_number(value)}\n"
    head = heads[0]
    wanted = re.compile(rf"(\s*{re.escape(key)}\s*=\s*)[-+0-9._eE]+(\s*(#.*)?(\r?\n)?)")
    for n in range(head + 1, len(lines)):
        if lines[n].lstrip().startswith("["):
            break
        if found := wanted.fullmatch(lines[n]):
            lines[n] = f"{found[1]}{_number(value)}{found[2]}"
            return "".join(lines)
    end = "" if lines[head].endswith("\n") else "\n"
    lines.insert(head + 1, f"{end}{key} = {_number(value)}\n")
    return "".join(lines)


def _number(value: float) -> str:
    return f"{value:.0f}" if float(value).is_integer() else repr(float(value))


def _text(home: Path) -> str:
    try:
        return read_file(home / NAME, Source.FLAGS).decode("utf-8")
    except FileNotFoundError:
        return ""


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()


def _put(home: Path, name: str, data: bytes) -> None:
    try:
        make_folder(home)
        put(home / name, data)
    except OSError as error:
        raise lost("write thresholds to", home / name, error) from error


def _remove(path: Path) -> None:
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise lost("take thresholds back from", path, error) from error
