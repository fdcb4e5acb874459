"""What the desk does in threads: reading the flow, watching its files, looking for a way to a step."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from itertools import islice
from pathlib import Path
from time import perf_counter
from typing import Any

from textual.screen import Screen
from textual.worker import Worker, get_current_worker

from wizard.domain.references import StepRef
from wizard.errors import SteadfootError
from wizard.flow.flow_places import shipped_library
from wizard.flow.model.case import Case
from wizard.flowcheck.approval.approval_file import path_of
from wizard.flowcheck.desk.flow_reading import FlowReading, read_flow
from wizard.flowcheck.desk.step_route import StepRoute, routes

QUIET = 200
"""Milliseconds after a change in which more of them are waited for: an editor writes a file in several."""

LOOK = 400
"""Milliseconds after which it is looked whether the desk is left."""

WAYS = 9
"""Cases that are offered to come to a step by."""


class DeskWork:
    """Works for a screen; what came of it is handed over in the screen's thread."""

    def __init__(self, screen: Screen[Any], folder: Path, problem: Callable[[str], None]) -> None:
        self._screen, self._folder, self._problem = screen, folder, problem

    def read(self, play: bool, then: Callable[[FlowReading], None]) -> None:
        """Read the flow anew, and play its cases where asked."""

        def work(worker: Worker[Any]) -> None:
            began = perf_counter()
            reading = read_flow(self._folder, play)
            self._hand(worker, then, replace(reading, seconds=perf_counter() - began))

        self._begin("desk-read", work)

    def watch(self, changed: Callable[[], None]) -> None:
        """Say each time that files of the flow, of the library or of the approval have changed."""

        def work(worker: Worker[Any]) -> None:
            from watchfiles import watch

            places = [self._folder, shipped_library(), path_of(self._folder)]
            there = [place for place in places if place.exists()]
            for seen in watch(
                *there, debounce=QUIET, rust_timeout=LOOK, yield_on_timeout=True, raise_interrupt=False
            ):
                if worker.is_cancelled:
                    return
                if seen:
                    self._hand(worker, changed)

        self._begin("desk-watch", work)

    def find(
        self, reading: FlowReading, step: StepRef, then: Callable[[tuple[StepRoute, ...]], None]
    ) -> None:
        """Look for cases that come to a step: the first ``WAYS`` of them."""

        def work(worker: Worker[Any]) -> None:
            found: list[StepRoute] = []
            if reading.flow is not None:
                for route in islice(routes(reading.flow, _sooner(reading, step), step), WAYS):
                    found.append(route)
                    if worker.is_cancelled or not reading.played:
                        break
            self._hand(worker, then, tuple(found))

        self._begin("desk-find", work)

    def _begin(self, group: str, work: Callable[[Worker[Any]], None]) -> None:
        def run() -> None:
            worker = get_current_worker()
            try:
                work(worker)
            except (SteadfootError, OSError) as problem:
                self._hand(worker, self._problem, str(problem))

        self._screen.run_worker(run, thread=True, exclusive=True, group=group)

    def _hand(self, worker: Worker[Any], call: Callable[..., Any], *what: Any) -> None:
        if not worker.is_cancelled:
            self._screen.app.call_from_thread(call, *what)


def _sooner(reading: FlowReading, step: StepRef) -> list[Case]:
    """The cases, those first that are known to go through a step, or name it."""
    played = {one.case: one for one in (reading.checked.played if reading.checked is not None else ())}

    def far(case: Case) -> tuple[bool, bool]:
        one = played.get(case.id)
        goes = one is not None and any(passed.step == step for passed in one.path)
        return not goes, step not in case.answers

    return sorted(reading.cases, key=far)
