"""Where one is in the job: the inspection, the step, the minutes so far, and what a gate leads to."""

from __future__ import annotations

from datetime import datetime

from textual.content import Content
from textual.widgets import Static

from wizard.engine.state import State
from wizard.flow.model import Flow
from wizard.screens import words
from wizard.screens.plain import sign

LONGEST = 600
"""Minutes; a visit that seems longer was left overnight, and its length says nothing."""

ROOM = 43
"""Columns beside the widest box of a safety state at 80 columns."""


def minutes_so_far(state: State, now: datetime) -> str:
    """'23 min so far', counted from the visit's beginning."""
    began = words.local(state.visit.began) if state.visit else None
    if began is None:
        return ""
    minutes = int((now - began).total_seconds() // 60)
    return f"{minutes} min so far" if 0 <= minutes <= LONGEST else ""


def step_words(flow: Flow, state: State) -> tuple[str, str, str]:
    """Title, 'step 2 of 4', and 'on the way to Dampers' where a gate stands over another inspection."""
    run = state.run
    if run is None:
        return flow.title, "", ""
    inspection = flow.inspections[run.inspection]
    ids = [s.id for s in inspection.steps]
    place = f"step {ids.index(run.at) + 1} of {len(ids)}" if run.at in ids else ""
    mended = any(r.outcome == "fitted" for r in state.repairs)
    again = "after the repair" if mended and run.phase == "after" and not inspection.gate else ""
    below = [flow.inspections[r.inspection].title for r in map(state.find_run, state.stack[:-1]) if r]
    way = f"The way to: {below[-1]}" if below else ""
    return inspection.title, ", ".join(x for x in (place, again) if x), way


def headline(title: str, parts: tuple[str, ...], way: str = "") -> Content:
    """The three lines: title, what is known of the place in the job, the way that a gate opens."""
    middle = f" {sign('·')} ".join(p for p in parts if p)
    if len(middle) > ROOM:
        middle = middle.removesuffix(" so far")
    return Content("\n").join(
        [Content.styled(title, "bold $primary"), Content(middle), Content.styled(way, "$faint")]
    )


class Headline(Static):
    """Three lines at the top left."""

    DEFAULT_CSS = """
    Headline { width: 1fr; height: 3; }
    """

    def show(self, title: str, parts: tuple[str, ...], way: str = "") -> None:
        """Show a title with what is known of the place in the job."""
        self.update(headline(title, parts, way))
