"""What the desk does in threads: reading the flow, watching its files, looking for a way to a step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import islice, takewhile
from pathlib import Path
from time import perf_counter
from typing import Any

from textual.screen import Screen
from textual.worker import Worker

from wizard.domain.references import StepRef
from wizard.flow.flow_places import shipped_library
from wizard.flow.model.case import Case
from wizard.flowcheck.approval.approval_file import path_of
from wizard.flowcheck.desk.flow_reading import FlowReading, read_flow
from wizard.flowcheck.desk.step_route import StepRoute, routes
from wizard.screens.program.screen_work import ScreenWork

QUIET = 200
"""Milliseconds after a change in which more of them are waited for: an editor writes a file in several."""

LOOK = 400
"""Milliseconds after which it is looked whether the desk is left."""

WAYS = 9
"""Cases that are offered to come to a step by."""


class DeskWork(ScreenWork):
    """Works for the desk of the flow in a folder."""

    def __init__(self, screen: Screen[Any], folder: Path, said: Callable[[str], None]) -> None:
        super().__init__(screen, said)
        self._folder = folder

    def read(self, play: bool, then: Callable[[FlowReading], None]) -> None:
        """Read the flow anew, and play its cases where asked, until another reading begins or the desk is left."""

        def work(worker: Worker[Any]) -> None:
            began = perf_counter()
            reading = read_flow(self._folder, play, lambda: not worker.is_cancelled)
            self.hand(worker, then, replace(reading, seconds=perf_counter() - began))

        self.begin("desk-read", work)

    def watch(self, changed: Callable[[], None]) -> None:
        """Say each time that files of the flow or the library, or the approval, have changed."""

        def work(worker: Worker[Any]) -> None:
            from watchfiles import watch

            approval = path_of(self._folder)
            stood = _stamp(approval)
            for seen in watch(
                self._folder, shipped_library(),
                debounce=QUIET, rust_timeout=LOOK, yield_on_timeout=True, raise_interrupt=False,
            ):  # fmt: skip
                if worker.is_cancelled:
                    return
                stands = _stamp(approval)
                if seen or stands != stood:
                    stood = stands
                    self.hand(worker, changed)

        self.begin("desk-watch", work)

    def find(
        self, reading: FlowReading, step: StepRef, then: Callable[[tuple[StepRoute, ...]], None]
    ) -> None:
        """Look for cases that come to a step: the first ``WAYS`` of them, one where they were not played."""

        def work(worker: Worker[Any]) -> None:
            cases = takewhile(lambda _case: not worker.is_cancelled, _sooner(reading, step))
            ways = routes(reading.flow, cases, step) if reading.flow is not None else ()
            self.hand(worker, then, tuple(islice(ways, WAYS if reading.played else 1)))

        self.begin("desk-find", work)


def _stamp(path: Path) -> tuple[int, int] | None:
    """What tells that a file was written anew, or put in the place of another; None where there is none."""
    try:
        stat = path.stat()
    except OSError:
        return None
    return stat.st_mtime_ns, stat.st_ino


def _sooner(reading: FlowReading, step: StepRef) -> list[Case]:
    """The cases, those first that are known to go through a step, or name it."""
    played = {one.case: one for one in (reading.checked.played if reading.checked is not None else ())}

    def far(case: Case) -> tuple[bool, bool]:
        one = played.get(case.id)
        goes = one is not None and any(passed.step == step for passed in one.path)
        return not goes, step not in case.answers

    return sorted(reading.cases, key=far)
