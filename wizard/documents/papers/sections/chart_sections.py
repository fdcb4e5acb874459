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
DRAWN_KEY = (
    "The hollow ring is the reading that decides, the filled diamond the one after the repair, the line through it "
    "twice its uncertainty to both sides; dots are the others.",
    "An arrow lies beyond the end.",
)
"""What the shapes of a drawn ruler mean."""


def step_chart_section(view: JobView) -> Section | None:
    """Rims, play, swings and feet; None where nothing was drawn."""
    figures = tuple(c.figure for c in step_charts(view))
    return Section("Pictures of what was measured", figures) if figures else None


def ruler_section(charts: Iterable[SessionChart], drawn: bool = False) -> Section | None:
    """Readings on the rulers of their limits; None where there is none. ``drawn``: as pictures, not in characters."""
    figures = tuple(c.figure for c in charts)
    key = Paragraph(tuple(stated(text, evidence=Evidence.ADVICE) for text in (DRAWN_KEY if drawn else _KEY)))
    return Section("Readings on their limits", (key, *figures)) if figures else None
