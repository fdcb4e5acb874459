"""Every judged reading of a session on the ruler of its limit."""

from __future__ import annotations

from collections.abc import Iterator

from wizard.documents.charts.limit_ruler import limit_ruler
from wizard.documents.charts.pictured_ruler import ruler_picture
from wizard.documents.charts.session_chart import SessionChart
from wizard.documents.content.measurements import judged_in, worst_of
from wizard.domain.vocabulary import Phase, Verdict
from wizard.engine.measuring import judging
from wizard.engine.measuring.computing import unit_of
from wizard.engine.queries import inspection_queries
from wizard.engine.state.job_view import JobView
from wizard.flow.model import Inspection

COLUMNS = 64
"""Columns of a printed ruler; with a list's indent it stays within 80."""


def judged_rulers(view: JobView, every: bool = True) -> Iterator[SessionChart]:
    """The rulers of what was judged and still counts, in the flow's order, before a repair and after it.

    Not ``every``: only of steps that did not pass, with the same step after the repair, whatever it came to.
    """
    for inspection in view.flow.inspections.values():
        if inspection.procedure:
            continue
        found = list(_of_inspection(view, inspection))
        wrong = {p.title for p, verdict in found if verdict is not Verdict.PASS}
        yield from (p for p, _verdict in found if every or p.title in wrong)


def _of_inspection(view: JobView, inspection: Inspection) -> Iterator[tuple[SessionChart, Verdict | None]]:
    """Each judged step of an inspection, with the verdict of its worst item."""
    for phase in Phase:
        runs = inspection_queries.runs_of(view.state, inspection.id, phase)
        for step in inspection.steps if runs else ():
            limit = judging.limit_of(view, step)
            judged = [j for j in judged_in(view, runs[-1], step) if j.verdict] if limit else []
            worst = worst_of(judged, limit)
            if limit and worst:
                unit = unit_of(view, step)
                chart = limit_ruler(limit, judged, unit, COLUMNS)
                ascii_chart = limit_ruler(limit, judged, unit, COLUMNS, plain=True)
                title = f"{inspection.title}: {limit.says}"
                after = inspection_queries.run_after_repair(view, runs[-1])
                picture = ruler_picture(limit, () if after else judged, judged if after else (), unit)
                yield SessionChart(title, after, chart, ascii_chart, picture), worst.verdict
