"""The spin recorded before the repair and after it, on one axis, for the customer's page."""

from __future__ import annotations

from wizard.documents.charts.step_charts import step_charts
from wizard.documents.document_tree import Evidence, Paragraph, stated
from wizard.documents.report.report_tree import PagePart
from wizard.engine.state.job_view import JobView

_KEY = (
    "Rings are the spin before the repair, diamonds the one after it, each from a phone's recording. Ramp and coast go "
    "along the drum's speed, the spin along its time."
)


def recorded_part(view: JobView) -> PagePart | None:
    """The part of the page; None where no spin was recorded both before and after."""
    figures = tuple(chart.figure for chart in step_charts(view) if chart.spin is not None)
    key = Paragraph((stated(_KEY, evidence=Evidence.ADVICE),))
    return PagePart("Recorded before and after", (*figures, key)) if figures else None
