"""Service sheets in a session: limits of a model, as the journal holds them and as readings are judged by them."""

from __future__ import annotations

from wizard.engine.messages.used_limit import UsedBand, UsedLimit
from wizard.engine.state.job_state import State
from wizard.flow.model import Band, Limit


def used_limit(limit: Limit) -> UsedLimit:
    """A limit for the journal; edges in SI."""
    return UsedLimit(
        id=limit.id,
        says=limit.says,
        unit=limit.unit,
        source=limit.source,
        status=limit.status,
        applies={fact: tuple(values) for fact, values in limit.applies.items()},
        bands=tuple(UsedBand(band.id, band.verdict, band.inclusive, band.top) for band in limit.bands),
    )


def limit_of_used(held: UsedLimit) -> Limit:
    """The limit that a journal holds, the inverse of ``used_limit``."""
    return Limit(
        id=held.id,
        says=held.says,
        unit=held.unit,
        bands=tuple(map(_band, held.bands)),
        source=held.source,
        status=held.status,
        applies=held.applies,
    )


def _band(held: UsedBand) -> Band:
    below, up_to = (None, held.top) if held.inclusive else (held.top, None)
    return Band(id=held.id, verdict=held.verdict, below=below, up_to=up_to)


def sheet_limits(state: State) -> tuple[Limit, ...]:
    """Every limit of the sheets used, oldest first."""
    return tuple(limit_of_used(held) for _model, _source, limits in state.sheets for held in limits)
