"""What a procedure measures proves something: it is judged, it can fail, and nothing passes that kills."""

from __future__ import annotations

import math
from collections.abc import Iterator

from wizard.domain.vocabulary import Verdict
from wizard.flow.declaring.key_values import Applies
from wizard.flow.model import Limit, MeasureStep
from wizard.flow.problems import Problem
from wizard.flow.rules.rule_context import FlowIndex, StepLocation
from wizard.measure.quantities.units import dimension, from_si

_SURE = 1.645
"""Standard uncertainties on one side that hold 95 % (JCGM 106, normal)."""

DEAD = 50.0
"""V; the edge below which a conductor may be called dead (29 CFR 1910.303(g)(2)(i): at 50 V or more it is
guarded).
"""


def proving(index: FlowIndex) -> Iterator[StepLocation]:
    """Yield the steps of procedures that come to a number."""
    return (at for at in index.steps() if at.inspection.id in index.flow.procedures and at.judged)


def judged(index: FlowIndex) -> Iterator[Problem]:
    """What is measured is judged, by a limit that can fail."""
    for at in proving(index):
        if not at.limit:
            text = "what a procedure measures is judged: any value would do. Give it a limit"
            yield index.error(at.location, (), text, "proof")
        for limit in index.flow.limits.get(at.limit, ()):
            if all(band.verdict is not Verdict.FAIL for band in limit.bands):
                text = f'no band of limit "{limit.id}" fails, so any value would do here. Name another limit'
                yield index.error(at.location, ("limit",), text, "proof")


def passable(index: FlowIndex) -> Iterator[Problem]:
    """The usual reading passes, and its tool is fine enough to say so."""
    for at in proving(index):
        reading = at.reading
        tool = index.flow.tools.get(reading.tool) if reading else None
        if reading is None or reading.usual is None or tool is None:
            continue
        blur = _SURE * math.hypot(tool.uncertainty, tool.resolution / math.sqrt(12))
        for limit in index.flow.limits.get(at.limit, ()):
            if all(band.verdict is not Verdict.PASS for band in limit.bands):
                continue  # Said of the limit itself.
            if not _passes(limit, reading.usual, 0.0):
                text = f'usual {at.location.table["reading"]["usual"]:g} fails limit "{limit.id}": this never passes'
                yield index.error(at.location, ("reading", "usual"), text, "proof")
            elif not _passes(limit, reading.usual, blur):
                text = f'tool "{tool.id}" is too coarse for limit "{limit.id}": the usual reading never surely passes'
                yield index.error(at.location, ("reading", "tool"), text, "proof")


def watched(index: FlowIndex) -> Iterator[Problem]:
    """Elsewhere the usual reading passes too, or nobody with this tool could say that a sound machine is sound."""
    safe = {at.ref for at in proving(index)}
    for at in index.steps():
        reading = at.reading if at.ref not in safe else None
        tool = index.flow.tools.get(reading.tool) if reading else None
        if reading is None or tool is None or dimension(tool.unit) != dimension(reading.unit):
            continue
        blur = _SURE * math.hypot(tool.uncertainty, tool.resolution / math.sqrt(12))
        for limit in index.flow.limits.get(at.limit, ()):
            if all(band.verdict is not Verdict.PASS for band in limit.bands):
                continue  # Said of the limit itself.
            if dimension(limit.unit) != dimension(reading.unit):
                continue  # As is this.
            usual = reading.usual if limit.usual is None else limit.usual
            if usual is None or not reading.low <= usual <= reading.high:
                continue
            if _together(at.inspection.applies, limit.applies) and not _passes(limit, usual, blur):
                text = (
                    f'no usual reading surely passes limit "{limit.id}" ({limit.says}) with tool "{tool.id}": '
                    "it is watch on a sound machine. Move the edge, name a finer tool, or give the limit its own usual"
                )
                yield index.warning(at.location, ("reading", "usual"), text, "usual")


def _together(one: Applies, other: Applies) -> bool:
    """Return whether one machine could fit both."""
    return all(set(one[fact]) & set(values) for fact, values in other.items() if fact in one)


def _passes(limit: Limit, value: float, blur: float) -> bool:
    """Return whether a value, and all that it may be with this blur, lies in one band that passes."""
    low = -math.inf
    for band in limit.bands:
        high = math.inf if band.top is None else band.top
        if band.verdict is Verdict.PASS and low <= value - blur and value + blur <= high:
            return True
        low = high
    return False


def dead(index: FlowIndex) -> Iterator[Problem]:
    """What a procedure lets pass as a voltage lies below 50 V; and no reading passes by its sign.

    A bus of -320 V, the tips the other way round, is below every edge.
    """
    for at in proving(index):
        reading = at.reading
        if not isinstance(at.step, MeasureStep) or reading is None:
            continue
        for limit in index.flow.limits.get(at.limit, ()):
            passing = [band for band in limit.bands if band.verdict is Verdict.PASS]
            high = [band for band in passing if band.top is None or band.top > DEAD]
            if dimension(reading.unit) == "voltage" and high:
                text = f'limit "{limit.id}" calls {DEAD:g} V and more dead, which kills. Let it pass below that only'
                yield index.error(at.location, ("limit",), text, "proof")
            if reading.low < 0 and limit.bands[0] in passing and dimension(reading.unit) != "temperature":
                low = f"{from_si(reading.low, reading.unit):g} {reading.unit}"
                text = (
                    f'{low} would pass by its sign alone: the lowest band of limit "{limit.id}" passes. '
                    "Set from = 0, and have the size typed"
                )
                yield index.error(at.location, ("reading", "from"), text, "proof")


RULES = (judged, passable, watched, dead)
