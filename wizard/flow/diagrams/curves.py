"""How readings of a judged step are spread, healthy and by severity, as lines of text above one another."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from wizard.domain.vocabulary import FaultSeverity
from wizard.flow.diagrams.text_fitting import clip
from wizard.flow.model import AnyStep, Band, Flow, JudgedStep, Limit
from wizard.measure.quantities.units import from_si

SHADES = " .:-=+*#%@"
"""From hardly ever to most often: plain signs, so that every terminal has them."""
REACHES = 2.5
"""The axis goes this many standard deviations beyond the outermost centres."""
LEAST_WIDTH, NAMES = 24, 10


def curve_lines(flow: Flow, step: AnyStep, width: int) -> Iterator[str]:
    """Yield the curves of each limit of a step that says what is typical; nothing for other steps."""
    if not isinstance(step, JudgedStep) or width < LEAST_WIDTH + NAMES:
        return
    wanted = frozenset(chain.from_iterable(step.evidence.values()))
    for limit in flow.limits.get(step.limit, ()):
        for band in limit.bands:
            if band.id in wanted and band.typical:
                yield from _drawn(flow, limit, band, width)


def _drawn(flow: Flow, limit: Limit, band: Band, width: int) -> Iterator[str]:
    """Yield one limit's curves for one band: a heading with the axis, then a row for healthy and each severity."""
    curve = limit.curve(band, flow.severity)
    if curve is None:
        return
    rows = [("healthy", curve.healthy)]
    rows += [(s.value, at) for s, (at, _) in zip(FaultSeverity, curve.centres, strict=False)]
    ends = [at for _, at in rows]
    low, high = min(ends) - REACHES * curve.scatter, max(ends) + REACHES * curve.scatter
    cells = width - NAMES - 12
    fact = ", ".join(f"{f} {' or '.join(v)}" for f, v in limit.applies.items())
    axis = f"{from_si(low, limit.unit):.3g} to {from_si(high, limit.unit):.3g} {limit.unit}"
    yield clip(f"curves of {limit.id}, {band.id}{f' ({fact})' if fact else ''}: {axis}", width)
    for name, at in rows:
        spread = [curve.density((low + (n + 0.5) * (high - low) / cells), at) for n in range(cells)]
        drawn = "".join(SHADES[min(len(SHADES) - 1, int(len(SHADES) * each))] for each in spread)
        yield clip(f"{name:<{NAMES}}{drawn} {from_si(at, limit.unit):.3g} {limit.unit}", width)
