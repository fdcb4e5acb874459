"""The program of a trainer's desk: the flow under everything, a job tried over it."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from textual.screen import Screen

from wizard.errors import CaseFailed, SteadfootError
from wizard.flowcheck.cases.case_recorder import case_from
from wizard.flowcheck.desk.flow_reading import FlowReading
from wizard.flowcheck.desk.kept_case import keep_case
from wizard.flowcheck.desk.step_route import StepRoute
from wizard.flowcheck.desk.tried_session import opened_from
from wizard.screens.desk.desk_screen import DeskScreen
from wizard.screens.launch.app import SteadfootApp
from wizard.screens.layout.too_small import TooSmall
from wizard.screens.viewmodels.questions import YesReply, ask_yes
from wizard.sessions.session_store import Store

PUT_AWAY = "Back to the desk?"
THROWN_AWAY = "What was tried is kept until you leave the desk: w keeps it as a case."


@dataclass(frozen=True, slots=True)
class TriedJob:
    """The job that was tried last: its session, and the id that is proposed for a case of it."""

    session: str
    proposed: str


class DeskApp(SteadfootApp):
    """``store`` is of a home of its own, where nothing of a customer's lies. ``unapprovable``: why nobody approves this
    flow here, empty where somebody may.
    """

    def __init__(self, store: Store, folder: Path, unapprovable: str = "") -> None:
        super().__init__(store, dict[str, Path])
        self._folder, self.unapprovable = folder, unapprovable
        self.tried: TriedJob | None = None

    def get_default_screen(self) -> Screen[Any]:
        """The desk lies under everything."""
        return DeskScreen(self._folder)

    def open_at(self, reading: FlowReading, route: StepRoute) -> None:
        """Open a job at the step of a route, as the technician sees it."""
        if reading.flow is None:
            return
        try:
            opened = opened_from(self.store, reading.flow, reading.content, route.records)
        except SteadfootError as problem:
            self.say(str(problem))
            return
        self.tried = TriedJob(opened.name, f"{route.step.inspection}-{route.step.step}-tried")
        self.host.take(opened)

    def keep(self, name: str, reading: FlowReading) -> str:
        """Write the job that was tried last into the flow's cases as it was read; gives what is said of it. CaseFailed
        or FlowError where no case can be made of it.
        """
        if self.tried is None:
            raise CaseFailed("Nothing was tried yet.")
        if reading.flow is None:
            raise CaseFailed("The flow has errors now: mend them, then keep it.")
        loaded = self.store.load(self.tried.session)
        text = case_from(loaded.flow, loaded.records, name)
        path = keep_case(self._folder, reading.flow, text, name, {case.id for case in reading.cases})
        return f"{path.relative_to(self._folder).as_posix()}: the case {name}. Look it over: it is the flow's now."

    def action_leave(self) -> None:
        """Out of a job to the desk; out of the desk."""
        if not self.host.has_job or isinstance(self.screen, TooSmall):
            self.exit(0)
        elif not self.host.on_job:
            self.say("First finish here, or go back with Esc.")
        else:
            ask = ask_yes(PUT_AWAY, THROWN_AWAY, "Back", "Stay")
            self.host.put(ask, lambda yes: self.host.close_job() if yes == YesReply.YES else None)
