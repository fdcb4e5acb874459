"""Learned numbers written into a flow, and taken back: all or nothing, and only where the flow's check passes then."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from wizard.errors import FlowError, UsageError
from wizard.flow.parsing import flow_files
from wizard.flow.problems import errors
from wizard.flowcheck.flow_check import check
from wizard.journal.durable_io import put, refusal
from wizard.learning.estimate import NumberId
from wizard.learning.number_edit import edited, number_in
from wizard.learning.proposal import Proposal, Taking, path_of, to_toml

NEAR = 1e-9
"""Numbers that lie no further apart are the same."""
Checked = Callable[[Mapping[str, bytes]], tuple[str, ...]]
"""From the files of a flow to what is wrong with it; empty where it is sound."""


def problems_of(files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Every error that the whole check finds, cases not played."""
    found = check(files)
    return tuple(map(str, errors(found.problems)))


def take(
    folder: Path,
    proposal: Proposal,
    numbers: Mapping[NumberId, float],
    at: str,
    checked: Checked = problems_of,
) -> Proposal:
    """Write these numbers into the files of the flow in ``folder``; return the proposal as it stands then, kept too.

    FlowError, with nothing changed, where the flow has changed since it was learned from, where its check would fail,
    or where the disk refuses. UsageError where there is nothing to write.
    """
    if not numbers:
        raise UsageError("No number changes. Nothing was written.")
    before = {n.id: n.estimate.old for n in proposal.numbers if n.id in numbers}
    files = flow_files.read_folder(folder)
    _same(files, before, "Learn anew, then take.")
    _write(folder, files, numbers, checked)
    return _kept(folder, files, replace(proposal, taken=(*proposal.taken, Taking(at, before, dict(numbers)))))


def take_back(folder: Path, proposal: Proposal, checked: Checked = problems_of) -> tuple[Proposal, Taking]:
    """Put back what stood before the last taking; return the proposal as it stands then, and that taking.

    FlowError as `take`; UsageError where nothing was taken.
    """
    if not proposal.taken:
        raise UsageError("Nothing was taken from this proposal, so there is nothing to take back.")
    last = proposal.taken[-1]
    files = flow_files.read_folder(folder)
    _same(files, last.since, "It was changed by hand since. Put it back by hand.")
    _write(folder, files, last.before, checked)
    return _kept(folder, files, replace(proposal, taken=proposal.taken[:-1])), last


def _same(files: Mapping[str, bytes], wanted: Mapping[NumberId, float], then: str) -> None:
    """FlowError where the files hold another number than is thought."""
    for number, value in wanted.items():
        now = number_in(files, number)
        if abs(now - value) > NEAR:
            raise FlowError(f"{number}: the flow has {now:g} now, not {value:g}. {then}")


def _write(
    folder: Path, files: Mapping[str, bytes], numbers: Mapping[NumberId, float], checked: Checked
) -> None:
    """Write the numbers, checked before a byte is put in its place."""
    changed = edited(files, numbers)
    if wrong := checked({**files, **changed}):
        raise FlowError("With these numbers the flow isn't sound. Nothing was changed. Its problems:", wrong)
    _put_all(folder, files, changed)


def _put_all(folder: Path, files: Mapping[str, bytes], changed: Mapping[str, bytes]) -> None:
    """Put every file in its place, or none: what was put is put back where one can't be."""
    done: list[str] = []
    try:
        for name, content in changed.items():
            _put(folder / name, content)
            done.append(name)
    except OSError as error:
        for name in done:
            with suppress(OSError):
                _put(folder / name, files[name])
        why, remedy = refusal(error)
        raise FlowError(f"{folder}: could not be written: {why}. Nothing was changed. {remedy}.") from error


def _put(path: Path, content: bytes) -> None:
    """Put a file in place with the rights that the one there has."""
    mode = path.stat().st_mode if path.exists() else None
    put(path, content)
    if mode is not None:
        path.chmod(mode & 0o777)


def _kept(folder: Path, files: Mapping[str, bytes], proposal: Proposal) -> Proposal:
    """Keep the proposal beside the flow; the flow as it was where that can't be."""
    try:
        keep(folder, proposal)
    except FlowError:
        now = flow_files.read_folder(folder)
        for name, content in files.items():
            if now.get(name) != content and (folder / name).is_file():
                with suppress(OSError):
                    _put(folder / name, content)
        raise
    return proposal


def keep(folder: Path, proposal: Proposal) -> Path:
    """Write the proposal beside the flow's folder; return where. FlowError where the disk refuses."""
    path = path_of(folder)
    try:
        _put(path, to_toml(proposal))
    except OSError as error:
        why, remedy = refusal(error)
        raise FlowError(f"{path}: could not be written: {why}. {remedy}.") from error
    return path
