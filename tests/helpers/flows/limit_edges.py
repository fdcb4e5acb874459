"""The edges of a limit, as its file has them."""

from __future__ import annotations

from wizard.flow.model import Flow
from wizard.flow.model.common import fits
from wizard.measure.quantities.units import from_si


def edges(flow: Flow, limit: str, **facts: str) -> dict[str, float]:
    """The upper edges of a limit by band, in its own unit."""
    (found,) = (one for one in flow.limits[limit] if fits(one.applies, facts))
    return {b.id: from_si(b.top, found.unit) for b in found.bands if b.top is not None}
