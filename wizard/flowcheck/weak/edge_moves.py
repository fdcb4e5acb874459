"""How far an edge of a limit is moved: further than the tool can tell, and not past the next edge."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from wizard.flow.model import MeasureStep
from wizard.flow.parsing.toml_positions import Path
from wizard.flow.rules.rule_context import FlowIndex, TableLocation
from wizard.flowcheck.weak.value_edits import FOURFOLD, QUARTER
from wizard.measure.quantities.units import span_from_si

HALF = 0.5


class EdgeMoves:
    """The moves of the edges of a flow's limits."""

    def __init__(self, index: FlowIndex) -> None:
        self._uncertain: dict[str, float] = {}
        for at in index.steps():
            tool = index.flow.tools.get(at.step.reading.tool) if isinstance(at.step, MeasureStep) else None
            if tool is not None:
                self._uncertain[at.limit] = max(self._uncertain.get(at.limit, 0.0), tool.uncertainty)
        self._limits: dict[Path, dict[str, Any]] = {
            (file, number): table
            for file, document in index.source.sound.items()
            for number, table in enumerate(document.get("limit", ()))
        }

    def off(self, location: TableLocation, key: str) -> float:
        """How far the edge at ``key`` of a band is moved, in the unit of its limit."""
        limit = self._limits[location.file, location.path[1]]
        edge = float(location.table[key])
        least = FOURFOLD * span_from_si(self._uncertain.get(limit["id"], 0.0), limit["unit"])
        off = max(QUARTER * abs(edge), least) or 1.0
        gaps = [abs(other - edge) for other in _edges(limit) if other != edge]
        room = HALF * min(gaps, default=off)
        return min(off, max(room, least)) or off


def _edges(limit: dict[str, Any]) -> Iterator[float]:
    for band in limit["band"]:
        for key in ("below", "up_to"):
            if key in band:
                yield float(band[key])
