"""Every judged reading of a session on the ruler of its limit, as a section of its papers."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.engine import derive, judging
from wizard.engine.compute import unit_of
from wizard.engine.state import State
from wizard.flow.model import Flow, Inspection
from wizard.review.measured import judged_in, worst_of
from wizard.review.pictures.ruler import ruler
from wizard.review.pictures.steps import Picture

COLUMNS = 64
"""Columns of a printed ruler; with a list's indent it stays within 80."""


def rulers(flow: Flow, state: State, every: bool = True) -> Iterator[Picture]:
    """The rulers of what was judged and still counts, in the flow's order, before a repair and after it.

    Not ``every``: only of steps that did not pass, with the same step after the repair, whatever it came to.
    """
    for inspection in flow.inspections.values():
        if inspection.gate:
            continue
        found = list(_of_inspection(flow, state, inspection))
        wrong = {p.title for p, verdict in found if verdict != "pass"}
        yield from (p for p, _verdict in found if every or p.title in wrong)


def _of_inspection(flow: Flow, state: State, inspection: Inspection) -> Iterator[tuple[Picture, str]]:
    """Each judged step of an inspection, with the verdict of its worst item."""
    for phase in ("before", "after"):
        runs = derive.runs_of(state, inspection.id, phase)
        for step in inspection.steps if runs else ():
            limit = judging.limit_of(flow, state, step)
            judged = [j for j in judged_in(flow, state, runs[-1], step) if j.verdict] if limit else []
            worst = worst_of(judged)
            if limit and worst:
                lines = ruler(limit, judged, unit_of(flow, state, step), COLUMNS, plain=True)
                yield Picture(f"{inspection.title}: {limit.says}", phase, lines), worst.verdict


def in_markdown(flow: Flow, state: State, every: bool = True) -> list[str]:
    """The rulers as a section of Markdown, in ASCII, so that any printer and any viewer shows them."""
    from wizard.review.words import safe, sentence

    lines: list[str] = []
    for p in rulers(flow, state, every):
        phase = " After the repair." if p.phase == "after" else ""
        rows = (row.rstrip() for row in p.lines)
        lines += ["", f"{safe(sentence(p.title))}{phase}", "", "```text", *rows, "```"]
    return ["## Readings on their limits", "", _KEY, *lines] if lines else []


_KEY = (
    "A ^ is the reading that decides, the line through it twice its uncertainty to both sides; dots are the others. "
    "A < or > lies beyond the end."
)
