"""The edits of a flow tried in processes of their own, in their order, with what each case came to found first."""

from __future__ import annotations

import gc
import os
import signal
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from functools import partial
from multiprocessing import get_context, parent_process
from multiprocessing.process import BaseProcess
from pathlib import Path
from random import Random
from threading import Thread
from typing import Any

from wizard.domain.flow_vocabulary import ThingKind
from wizard.errors import FlowError
from wizard.flow.rules.rule_context import FlowIndex
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.weak.edit_touches import step_of, touched
from wizard.flowcheck.weak.edit_trial import EditTrial, bench
from wizard.flowcheck.weak.flow_edit import EditTouch, FlowEdit

MOST = 12
"""How many of the cases that come to an edit are played at most."""
CHUNK = 4
"""How many edits a process is given at a time: few, so that it ends soon when broken off."""
Progress = Callable[[str, int, int], None]


def reach_bases(index: FlowIndex) -> dict[str, str]:
    """Return the reach that each reach comes from, where it comes from one."""
    tables = (location.table for location in index.declared(ThingKind.REACH))
    return {table["id"]: table["from"] for table in tables if "from" in table}


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
    played. FlowError where a case
    fails, or the system ended a process.
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
    """What does work in so many processes, each begun from nothing; in this one where there is to be one alone.

    Broken off, what was not begun is not begun any more.
    """
    if processes == 1:
        yield map
        return
    pool = ProcessPoolExecutor(processes, mp_context=get_context("spawn"), initializer=_begun)
    try:
        yield partial(pool.map, chunksize=CHUNK)
    except BrokenProcessPool as error:
        raise FlowError(
            "A process that tried edits was ended by the system. Try again with --processes 1, or fewer by --edits"
        ) from error
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


def _begun() -> None:
    """Begin a process: a Ctrl-C is for the one that began it, and it ends with that one, however that ends. Few cycles
    are made, so none are looked for.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    gc.disable()
    began = parent_process()
    if began is not None:
        Thread(target=_end_with, args=(began,), daemon=True).start()


def _end_with(began: BaseProcess) -> None:
    began.join()
    os._exit(1)
