"""A chart of a session: whose step it is of, whether after a repair, and how it is drawn."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.documents.document_tree import Chart, Evidence, Figure, stated
from wizard.documents.ruler_picture import RulerPicture
from wizard.documents.spin_picture import SpinPicture
from wizard.documents.text.formatting import sentence


@dataclass(frozen=True, slots=True)
class RenderOptions:
    """How charts are drawn: the unit of their words, in ASCII or not, and how wide those are that may be."""

    unit: str
    plain: bool = False
    columns: int = 48


@dataclass(frozen=True, slots=True)
class SessionChart:
    """A chart with its ASCII form. ``after``: something had been repaired by then. ``known``: how it is."""

    title: str
    after: bool
    chart: Chart
    ascii_chart: Chart
    ruler: RulerPicture | None = None
    spin: SpinPicture | None = None
    known: Evidence = Evidence.MEASURED

    @property
    def figure(self) -> Figure:
        """It as a figure of a paper."""
        lines = (sentence(self.title), *(("After the repair.",) if self.after else ()))
        title = tuple(stated(words, evidence=self.known) for words in lines)
        return Figure(title, self.chart, self.ascii_chart, self.ruler, self.spin)
