"""Calculators of what stands level: the machine on its feet, the tub by its corners."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from wizard.calculators.statistics import paired
from wizard.calculators.values import (
    Inputs,
    Settings,
    Value,
    by_item,
    means,
    number,
    typical,
    ways,
)

if TYPE_CHECKING:
    from wizard.measure.mechanics.levelling import Corners

from wizard.calculators.declaration import Calculator, ChartKind, Choice, Input, Setting

SLOPES = Input(
    "angle",
    "two slopes, side to side then front to back, each read as laid and turned round; the right or the front high "
    "is positive as laid",
    many=True,
    least=2,
    most=2,
    ways=2,
)
CORNERS = "four numbers in the order front left, front right, rear left, rear right"

THREADS = {
    "m8": 0.00125,
    "m10": 0.0015,
    "m12": 0.00175,
    "in-5-16": 0.0254 / 18,
    "in-3-8": 0.0254 / 16,
    "in-1-2": 0.0254 / 13,
}
"""Pitch in m by thread: M8, M10, M12 (ISO 261, coarse); 5/16-18, 3/8-16, 1/2-13 (ASME B1.1)."""


HIGH = (("left", "right"), ("rear", "front"))
"""Which side is high for a negative and for a positive slope: side to side, then front to back."""


_ROCKS = 0.0003
"""A gap below this, m, is rubber giving way and no rock: the same estimate as the limit of a firm foot."""


def slope_from_pair(inputs: Inputs, _settings: Settings) -> list[Value]:
    """(a - b) / 2: two readings with the tool turned by 180 degrees, its own zero error gone."""
    return [
        Value(a.name, (a.mean - b.mean) / 2, math.hypot(a.uncertainty, b.uncertainty) / 2)
        for a, b in paired(inputs)
    ]


def slopes_of(values: Sequence[Value]) -> list[Value]:
    """The signed slope of each item from its readings as laid and turned round."""
    return [
        Value(a.of or a.name, (a.mean - b.mean) / 2, math.hypot(a.uncertainty, b.uncertainty) / 2, a.item)
        for a, b in ways(values)
    ]


def turned_slope(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The size of the slope each way, with the side that is high."""
    found = []
    for slope, (low, high) in zip(slopes_of(inputs["slopes"]), HIGH, strict=True):
        side = high if slope.mean > 0 else low
        says = f"the {side} is high" if slope.mean else ""
        found.append(Value(slope.name, abs(slope.mean), slope.uncertainty, slope.item, says=says))
    return found


def foot_turns(inputs: Inputs, settings: Settings) -> list[Value]:
    """Turns for each foot that is free to turn, up positive; radians and metres in."""
    from wizard.measure.mechanics import levelling

    (side, front), (width, depth) = slopes_of(inputs["slopes"]), inputs["span"]
    gaps = inputs.get("rock", ())
    loose = max(gaps, key=lambda v: v.mean, default=None)
    if loose is not None and loose.mean <= _ROCKS:
        loose = None
    pitch, linked = number(settings, "thread"), bool(settings.get("rear", 0.0))
    turns = levelling.foot_turns(
        side.mean, front.mean, width.mean, depth.mean, pitch,
        self_adjusting_rear=linked,
        rock=loose.mean if loose else 0.0,
        loose=levelling.FEET[loose.item] if loose else None,
    )  # fmt: skip
    across, along = side.uncertainty * width.mean, front.uncertainty * depth.mean
    u = math.hypot(across, 0.0 if linked else along, loose.uncertainty if loose else 0.0) / pitch
    return [
        Value(foot.replace("-", " "), turn, u, n, says=_turn_words(turn))
        for n, (foot, turn) in _numbered(turns)
    ]


def _numbered(turns: Mapping[str, float]) -> list[tuple[int, tuple[str, float]]]:
    """Each foot with its place among the four."""
    from wizard.measure.mechanics.levelling import FEET

    return [(FEET.index(foot), (foot, turn)) for foot, turn in turns.items()]


def _turn_words(turn: float) -> str:
    """'out, the corner rises', to the nearest eighth of a turn."""
    if abs(turn) < 1 / 16:
        return "leave it"
    return "screw it out: the corner rises" if turn > 0 else "screw it in: the corner sinks"


def corner_lean(inputs: Inputs, settings: Settings) -> list[Value]:
    """The size of a tub's lean each way, from the gaps at its corners; which side hangs low."""
    found = _corners(inputs["gaps"], number(settings, "width"), number(settings, "depth"))
    leans = (("side to side", found.side_lean), ("front to back", found.front_lean))
    # A corner with a large gap is low, so the heights are the gaps' negatives: a high right side hangs low left.
    return [
        Value(name, abs(lean), found.lean_u, n, says=f"the {HIGH[n][lean < 0]} hangs low" if lean else "")
        for n, (name, lean) in enumerate(leans)
    ]


def corner_twist(inputs: Inputs, _settings: Settings) -> list[Value]:
    """The size of a tub's twist, and its lowest corner."""
    found = _corners(inputs["gaps"], 1.0, 1.0)
    says = f"lowest at the {found.lowest.replace('-', ' ')}" if found.spread else ""
    return [Value("twist", abs(found.twist), found.twist_u, says=says)]


def jogged_lean(inputs: Inputs, _settings: Settings) -> list[Value]:
    """How far a tub leans, from heights read after a jog from above and one from below: of each the mean of the two.

    Largest less smallest of the items; with one item, which is a difference already, its size. How far the two jogs
    leave it apart is shown beside it: what drag alone holds, which is no noise of the reading.
    """
    heights, pairs = by_item(inputs["heights"]), ways(inputs["heights"])
    low, high = min(heights, key=lambda v: v.mean), max(heights, key=lambda v: v.mean)
    apart = math.fsum(abs(a.mean - b.mean) for a, b in pairs) / len(pairs)
    apart_u = math.hypot(*(math.hypot(a.uncertainty, b.uncertainty) for a, b in pairs)) / len(pairs)
    held = Value(
        "after the two jogs", apart, apart_u, 1, judged=False, says="drag alone holds it that far apart"
    )
    if len(heights) == 1:
        return [Value("lean", abs(low.mean), low.uncertainty), held]
    return [Value("lean", high.mean - low.mean, math.hypot(low.uncertainty, high.uncertainty)), held]


def floor_fall(inputs: Inputs, settings: Settings) -> list[Value]:
    """By how much the floor falls across the feet, each way: how far they are out, and how the machine slopes on
    them.

    Beside it, how far the fourth foot's place is off the other three.
    """
    from wizard.measure.mechanics import levelling

    out, u = inputs["out"], typical(inputs["out"])
    across, along = number(settings, "width"), number(settings, "depth")
    places = [(x * across / 2, y * along / 2) for x, y in ((-1, 1), (1, 1), (-1, -1), (1, -1))]
    found = levelling.plane([(x, y, -foot.mean) for (x, y), foot in zip(places, out, strict=True)])
    tilts = slopes_of(inputs["slopes"])
    rows = (("side to side", found.side_slope, across), ("front to back", found.front_slope, along))
    falls = []
    for n, (name, slope, span) in enumerate(rows):
        fall = (math.tan(slope) + math.tan(tilts[n].mean)) * span
        says = f"the {HIGH[n][fall > 0]} is high" if fall else ""
        falls.append(Value(name, abs(fall), math.hypot(u, tilts[n].uncertainty * span), n, says=says))
    return [*falls, Value("one foot's place off the rest", found.rock, 2 * u, 2, judged=False)]


def _corners(gaps: Sequence[Value], width: float, depth: float) -> Corners:
    from wizard.measure.mechanics import levelling

    each = by_item(gaps)
    fl, fr, rl, rr = (-gap for gap in means(each))
    return levelling.corners(fl, fr, rl, rr, width, depth, typical(each))


ROWS = (
    Calculator(
        "slope-from-pair",
        "the true slope from two steps, the tool turned round by half a turn for the second: (a - b) / 2",
        {"a": Input("angle", "the first reading"), "b": Input("angle", "the reading with the tool turned")},
        "angle",
        "deg",
        compute=slope_from_pair,
    ),
    Calculator(
        "turned-slope",
        "how far it slopes each way, without the tool's own error: half the difference of the two readings, and which "
        "side is high",
        {"slopes": SLOPES},
        "angle",
        "deg",
        compute=turned_slope,
    ),
    Calculator(
        "foot-turns",
        "the turns to give each foot that is free to turn, up positive, until it stands level on all four",
        {
            "slopes": SLOPES,
            "span": Input(
                "length", "between the feet: left to right, then front to back", many=True, least=2, most=2
            ),
            "rock": Input(
                "length", f"the gap under each foot: {CORNERS}", many=True, least=4, most=4, optional=True
            ),
        },
        "count",
        "turns",
        choices={
            "thread": Choice("the thread of the feet, by its name", THREADS),
            "rear": Choice("whether the rear feet set themselves", {"self-adjusting-rear": 1.0}, other=0.0),
        },
        compute=foot_turns,
        drawn_as=ChartKind.TURNS,
    ),
    Calculator(
        "corner-lean",
        "how far a tub leans each way, by the gaps between rim and deck at its corners",
        {"gaps": Input("length", f"from the deck down to the rim: {CORNERS}", many=True, least=4, most=4)},
        "angle",
        "deg",
        {
            "width": Setting("mm", "between the left and the right corners", 100, 1200),
            "depth": Setting("mm", "between the front and the rear corners", 100, 1200),
        },
        compute=corner_lean,
    ),
    Calculator(
        "corner-twist",
        "by how much one diagonal of a tub stands above the other: one corner alone is off; of two ways, their mean",
        {"gaps": Input("length", f"from the deck down to the rim: {CORNERS}", many=True, least=4, most=4)},
        "length",
        "mm",
        compute=corner_twist,
    ),
    Calculator(
        "jogged-lean",
        "how far a tub leans, by heights read after a jog from above and one from below: largest less smallest of "
        "their means, or the mean of one that is a difference itself; beside it, how far drag alone holds it",
        {"heights": Input("length", "heights or gaps, each read after both jogs", many=True, ways=2)},
        "length",
        "mm",
        compute=jogged_lean,
    ),
    Calculator(
        "floor-fall",
        "by how much the floor falls under the feet, each way, and which side is high",
        {
            "out": Input(
                "length",
                "how far each foot is out, in the order front left, front right, rear left, rear right",
                many=True,
                least=4,
                most=4,
            ),
            "slopes": SLOPES,
        },
        "length",
        "mm",
        {
            "width": Setting("mm", "between the left and the right feet", 100, 1200, 520),
            "depth": Setting("mm", "between the front and the rear feet", 100, 1200, 480),
        },
        compute=floor_fall,
    ),
)
