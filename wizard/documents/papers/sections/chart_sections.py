"""The charts of a session as sections."""

from __future__ import annotations

from collections.abc import Iterable

from wizard.documents.charts.session_chart import SessionChart
from wizard.documents.charts.step_charts import step_charts
from wizard.documents.document_tree import Evidence, Paragraph, Section, stated
from wizard.engine.state.job_view import JobView

_KEY = (
    "A ^ is the reading that decides, the line through it twice its uncertainty to both sides; dots are the others.",
    "A < or > lies beyond the end.",
)


def step_chart_section(view: JobView) -> Section | None:
    """Rims, play, swings and feet; None where nothing was drawn."""
    figures = tuple(c.figure for c in step_charts(view))
    return Section("Pictures of what was measured", figures) if figures else None


def ruler_section(charts: Iterable[SessionChart]) -> Section | None:
    """Readings on the rulers of their limits; None where there is none."""
    figures = tuple(c.figure for c in charts)
    key = Paragraph(tuple(stated(text, evidence=Evidence.ADVICE) for text in _KEY))
    return Section("Readings on their limits", (key, *figures)) if figures else None
