"""``steadfoot flow check --weak``: edits of flows, one at a time, and which of them nobody would notice."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import TYPE_CHECKING

import click

from wizard.cli.output import write_json, write_lines, write_table
from wizard.domain.counting import plural
from wizard.errors import FlowError, UsageError

if TYPE_CHECKING:
    from wizard.flowcheck.weak.weak_result import Unnoticed, WeakResult

STEP = 2.0
"""Seconds between two lines of progress."""


@dataclass(frozen=True, slots=True)
class WeakOptions:
    """How edits are tried: ``edits`` at most, drawn by ``seed`` (0: all of them), in so many ``processes``."""

    edits: int = 0
    seed: int = 1
    processes: int = 2


def weak_check(folders: Mapping[str, Path], options: WeakOptions, as_json: bool) -> None:
    """Try the edits of flows and tell those that nobody notices. FlowError where one could hurt somebody, and where a
    flow isn't sound to begin with.
    """
    from wizard.flowcheck.weak.edit_kinds import EditGravity

    found = {name: _tried(name, folder, options) for name, folder in folders.items()}
    if as_json:
        write_json([{"flow": name, "seed": options.seed} | one.as_table() for name, one in found.items()])
    else:
        for name, one in found.items():
            write_lines(_lines(folders[name], one))
            _summary(name, one)
    grave = sum(len(one.left(EditGravity.SAFETY)) for one in found.values())
    if grave:
        raise FlowError(
            f"Nobody would notice {plural(grave, 'edit')} that could hurt somebody. Have a case expect what it takes "
            "away (steps), or accept it in weak.toml with a reason."
        )


def _tried(name: str, folder: Path, options: WeakOptions) -> WeakResult:
    from wizard.flow.loading.static_check import examine
    from wizard.flow.parsing.flow_files import read_folder
    from wizard.flow.problems import errors
    from wizard.flowcheck.weak.accepted import accepted, stale
    from wizard.flowcheck.weak.flow_edits import flow_edits
    from wizard.flowcheck.weak.trial_work import trials
    from wizard.flowcheck.weak.weak_result import result

    found = examine(read_folder(folder))
    if not found.sound or found.index is None:
        wrong = plural(len(errors(found.problems)), "error")
        raise FlowError(f"{name} has {wrong}. Mend them first: steadfoot flow check {name}")
    edits = flow_edits(found.index)
    if old := tuple(stale(found.index, edits)):
        raise FlowError(f"{name} accepts edits that there aren't:", tuple(map(str, old)))
    if not edits:
        raise UsageError(f"{name} has nothing to edit.")
    every = edits
    if 0 < options.edits < len(edits):
        drawn = set(Random(options.seed).sample(range(len(edits)), options.edits))
        edits = tuple(edit for number, edit in enumerate(edits) if number in drawn)
    progress = _Progress(name)
    some = trials(folder.resolve(), edits, progress.tell, options.processes, seed=options.seed)
    return result(some, accepted(found.index), every)


class _Progress:
    """Lines on standard error that say how far it is, not more often than every two seconds."""

    def __init__(self, name: str) -> None:
        self._name = name
        self._last = 0.0

    def tell(self, what: str, done: int, whole: int) -> None:
        now = time.monotonic()
        if done == whole or now - self._last >= STEP:
            self._last = now
            click.echo(f"{self._name}: {done} of {whole} {what}", file=sys.stderr)


def _lines(folder: Path, found: WeakResult) -> Iterator[str]:
    from wizard.cli.checking.check_text import near
    from wizard.flow.parsing.flow_files import WEAK, path_of
    from wizard.flowcheck.weak.edit_kinds import EditGravity

    for gravity in EditGravity:
        some = found.left(gravity)
        if some:
            yield f"Nobody would notice, and it is a matter of {gravity}:"
        for one in some:
            edit = one.trial.edit
            yield f"  {near(path_of(folder, edit.file))}:{edit.line} {edit.says} [{edit.kind}]"
            yield f"    {_would(one)}"
            yield f"    its name: {edit.id}"
    for needless in found.needless:
        yield f"{near(folder / WEAK)}: no longer needed, it is noticed: {needless.name}"


def _would(one: Unnoticed) -> str:
    tried = one.trial.cases
    came = f" ({tried} of {plural(one.trial.could, 'case')} that come to it tried)" if one.trial.could else ""
    return f"would notice: {one.trial.says}{came}"


def _summary(name: str, found: WeakResult) -> None:
    from wizard.flowcheck.weak.edit_kinds import GRAVITY, EditGravity, Noticed

    heads = ("kind", "grave", "edits", *Noticed, "accepted")
    rows = [
        [*map(str, (one.kind, GRAVITY[one.kind], one.edits, *(one.by[how] for how in Noticed), one.accepted))]
        for one in found.kinds
    ]
    total = [sum(one.by[how] for one in found.kinds) for how in Noticed]
    accepted = sum(one.accepted for one in found.kinds)
    write_table([*rows, ["all", "", str(found.edits), *map(str, total), str(accepted)]], heads)
    left = ", ".join(f"{len(found.left(gravity))} of {gravity}" for gravity in EditGravity)
    write_lines([f"{name}: of {plural(found.edits, 'edit')} nobody would notice {len(found.left())}: {left}"])
