"""The edits of a flow tried in processes of their own, in their order, with what each case came to found first."""

from __future__ import annotations

import gc
import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from random import Random
from typing import Any

from wizard.errors import FlowError
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.weak.edit_touches import reach_bases, step_of, touched
from wizard.flowcheck.weak.edit_trial import EditTrial, bench
from wizard.flowcheck.weak.flow_edit import EditTouch, FlowEdit
from wizard.foreign.work_beside import work_beside

MOST = 12
"""How many of the cases that come to an edit are played at most."""
CHUNK = 4
"""How many edits a process is given at a time: few, so that it ends soon when broken off."""
ENDED = (
    "A process that tried edits was ended by the system. Try again with --processes 1, or fewer by --edits"
)
"""What is said where one that tries edits is ended."""
Progress = Callable[[str, int, int], None]


def trials(
    folder: Path,
    edits: Sequence[FlowEdit],
    progress: Progress,
    processes: int = 2,
    most: int = MOST,
    seed: int = 1,
) -> Iterator[EditTrial]:
    """Try edits of the flow in a folder, in their order, each told as it is done; the flow is sound.

    ``seed`` chooses the cases of an edit that more than ``most`` come to; those that expect something there are all
    played. FlowError where a case fails, SteadfootError where the system ended a process.
    """
    ready = bench(folder)
    numbers = range(len(ready.cases))
    with _work(processes) as work:
        came: dict[EditTouch, list[int]] = {}
        for number, some in enumerate(work(partial(_came, folder), numbers)):
            progress("cases", number + 1, len(numbers))
            if not some:
                name = ready.cases[number].id
                raise FlowError(
                    f"case {name} doesn't end as it says. Mend it first: steadfoot flow check --cases"
                )
            for touch in some:
                came.setdefault(touch, []).append(number)
        tasks = [(edit, _able(edit, came, ready.expecting, seed)) for edit in edits]
        for number, trial in enumerate(work(partial(_tried, folder, most), tasks)):
            progress("edits", number + 1, len(edits))
            yield trial


def _able(
    edit: FlowEdit,
    came: Mapping[EditTouch, list[int]],
    expecting: Mapping[EditTouch, frozenset[int]],
    seed: int,
) -> tuple[tuple[int, ...], int]:
    """The numbers of the cases that come to an edit: first those that expect something there, with how many these are,
    then the others as drawn.
    """
    found = sorted({number for touch in edit.touches for number in came.get(touch, ())})
    Random(f"{seed} {edit.id}").shuffle(found)
    some = (*edit.touches, *map(step_of, edit.touches))
    first = frozenset[int]().union(*(expecting.get(touch, ()) for touch in some))
    ordered = tuple(sorted(found, key=lambda number: number not in first))
    return ordered, sum(number in first for number in ordered)


def _came(folder: Path, number: int) -> frozenset[EditTouch]:
    """What a case comes to; nothing where it doesn't end as it says, since it would tell nothing of an edit."""
    ready = bench(folder)
    assert ready.base.index is not None
    played = play(ready.flow, ready.cases[number])
    return touched(ready.flow, played, reach_bases(ready.base.index)) if played.ok else frozenset()


def _tried(folder: Path, most: int, task: tuple[FlowEdit, tuple[tuple[int, ...], int]]) -> EditTrial:
    edit, (could, expecting) = task
    return bench(folder).tried(edit, could, max(most, expecting))


@contextmanager
def _work(processes: int) -> Iterator[Callable[..., Iterator[Any]]]:
    """What does work in so many processes beside this one; in this one where there is to be one alone."""
    if processes == 1:
        yield map
        return
    with work_beside(processes, ENDED, _begun) as pool:
        yield partial(pool.map, chunksize=CHUNK)


def _begun() -> None:
    """Begin a process: a Ctrl-C is for the one that began it. Few cycles are made, so none are looked for."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.disable()
