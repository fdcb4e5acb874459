"""Below the rows of the job map, or beside them on a wide screen: what comes next, why, what stands in the way, and
on a wide screen the ranking.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import Container, Vertical
from textual.content import Content
from textual.widgets import Static

from wizard.engine.state.job_view import JobView
from wizard.screens.viewmodels.job_map.map_rows import MapRow, detail
from wizard.screens.viewmodels.job_map.obligation_lines import standing_lines
from wizard.screens.widgets.faults.advice_line import LINES, AdviceLine
from wizard.screens.widgets.faults.ranking_box import RankingBox

STANDING = 4
"""Lines for what stands in the way, below the rows."""

TWO = 84
"""Columns from which on the ranking stands beside what comes next, not under it."""

GAP = 3
"""Columns between two of them."""

MOST = 62
"""Columns of the ranking at most."""


class MapBeside(Container):
    """Three texts and the ranking. ``columns``: how many it has beside the rows, 0 where it stands below them."""

    DEFAULT_CSS: ClassVar[str] = """
    MapBeside { height: auto; width: 1fr; }
    MapBeside #map-next { height: auto; width: 1fr; }
    MapBeside #map-detail { height: auto; min-height: 2; }
    MapBeside #map-standing { height: auto; }
    MapBeside RankingBox { display: none; }
    MapBeside.-beside { height: 1fr; margin-left: 3; }
    MapBeside.-beside AdviceLine, MapBeside.-beside #map-standing { margin-top: 1; }
    MapBeside.-beside RankingBox { display: block; }
    MapBeside.-two { layout: horizontal; }
    MapBeside.-two RankingBox { margin: 0 0 0 3; }
    """

    def __init__(self) -> None:
        super().__init__(id="map-beside")
        self._words = 0

    def compose(self) -> ComposeResult:
        """What comes next, and the ranking."""
        with Vertical(id="map-next"):
            yield Static(id="map-detail")
            yield AdviceLine(id="map-advice")
            yield Static(id="map-standing")
        yield RankingBox(id="standing")

    @property
    def advice(self) -> AdviceLine:
        """What is advised."""
        return self.query_one(AdviceLine)

    def follow(self, view: JobView, room: int, columns: int = 0) -> None:
        """Show what belongs to a state; in a body of ``room`` columns, where it stands below the rows."""
        two = columns >= TWO
        ranking = min(MOST, (columns - GAP) // 2) if two else columns
        self._words = columns - ranking - GAP if two else columns or room
        self.set_class(columns > 0, "-beside")
        self.set_class(two, "-two")
        self.advice.follow(view, self._words - (4 if columns else 2), 99 if columns else LINES)
        standing = standing_lines(view, self._words, 99 if columns else STANDING)
        shown = self.query_one("#map-standing", Static)
        shown.display = bool(standing)
        shown.update(Content.styled("\n".join(standing), "bold $warning"))
        if columns:
            self.query_one(RankingBox).follow(view, ranking)

    def detail(self, row: MapRow | None) -> None:
        """Show what is known of the marked row."""
        lines = detail(row, self._words, self.has_class("-beside")) if row else []
        self.query_one("#map-detail", Static).update(Content("\n").join(map(Content, lines)))
