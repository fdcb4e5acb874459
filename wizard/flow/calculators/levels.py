"""Calculators of what stands level: the machine on its feet, the tub by its corners."""

from __future__ import annotations

from wizard.flow.calculators.form import Calculator, Choice, Input, Setting

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

ROWS = (
    Calculator(
        "slope-from-pair",
        "the true slope from two steps, the tool turned round by half a turn for the second: (a - b) / 2",
        {"a": Input("angle", "the first reading"), "b": Input("angle", "the reading with the tool turned")},
        "angle",
        "deg",
    ),
    Calculator(
        "turned-slope",
        "how far it slopes each way, without the tool's own error: half the difference of the two readings, and which "
        "side is high",
        {"slopes": SLOPES},
        "angle",
        "deg",
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
    ),
    Calculator(
        "corner-twist",
        "by how much one diagonal of a tub stands above the other: one corner alone is off; of two ways, their mean",
        {"gaps": Input("length", f"from the deck down to the rim: {CORNERS}", many=True, least=4, most=4)},
        "length",
        "mm",
    ),
    Calculator(
        "jogged-lean",
        "how far a tub leans, by heights read after a jog from above and one from below: largest less smallest of "
        "their means, or the mean of one that is a difference itself; beside it, how far drag alone holds it",
        {"heights": Input("length", "heights or gaps, each read after both jogs", many=True, ways=2)},
        "length",
        "mm",
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
    ),
)
