"""Service sheets in a session: limits of a model, written into the journal and read back from it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wizard.engine.state.job_state import State
from wizard.flow.model import Band, Limit, LimitStatus, Verdict


def limit_table(limit: Limit) -> dict[str, Any]:
    """A limit as a table for the journal; edges in SI."""
    return {
        "id": limit.id,
        "says": limit.says,
        "unit": limit.unit,
        "source": limit.source,
        "status": limit.status,
        "applies": {fact: list(values) for fact, values in limit.applies.items()},
        "bands": [_band_table(band) for band in limit.bands],
    }


def _band_table(band: Band) -> dict[str, Any]:
    table: dict[str, Any] = {"id": band.id, "verdict": band.verdict, "inclusive": band.inclusive}
    if band.top is not None:
        table["top"] = band.top
    return table


def table_limit(table: Mapping[str, Any]) -> Limit:
    """The limit of a journal's table, the inverse of ``limit_table``."""
    bands = tuple(_table_band(b) for b in table["bands"])
    applies = {str(k): tuple(v) for k, v in table.get("applies", {}).items()}
    return Limit(
        id=str(table["id"]),
        says=str(table["says"]),
        unit=str(table["unit"]),
        bands=bands,
        source=str(table["source"]),
        status=LimitStatus(str(table["status"])),
        applies=applies,
    )


def _table_band(table: Mapping[str, Any]) -> Band:
    top, inclusive = table.get("top"), bool(table.get("inclusive", False))
    below, up_to = (None, top) if inclusive else (top, None)
    return Band(id=str(table["id"]), verdict=Verdict(str(table["verdict"])), below=below, up_to=up_to)


def sheet_limits(state: State) -> tuple[Limit, ...]:
    """Every limit of the sheets used, oldest first."""
    return tuple(table_limit(table) for _model, _source, limits in state.sheets for table in limits)
