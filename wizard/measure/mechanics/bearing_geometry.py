"""The drum's bearing as it is read or typed: by its number, by its balls, or by its orders."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass

from wizard.measure.mechanics.bearings import DefectOrders, defect_orders

GEOMETRY: Mapping[str, tuple[int, float]] = {
    "6004": (9, 6.35 / 31.0), "6005": (10, 6.35 / 36.0), "6006": (11, 7.144 / 42.5),
    "6202": (8, 5.953 / 25.0), "6203": (8, 0.2367), "6204": (8, 0.2370), "6205": (9, 0.3126 / 1.537),
    "6206": (9, 0.2065), "6207": (9, 11.112 / 53.5), "6208": (9, 11.906 / 60.0),
    "6304": (7, 9.525 / 36.0), "6305": (7, 0.2570), "6306": (8, 0.2410), "6307": (8, 13.494 / 57.5),
}  # fmt: skip
"""Number -> balls, and ball over pitch diameter (where two are given, mm or in). 6205: Case Western Reserve University
bearing data; 6203 by its published orders; all others from memory: inch balls, on the middle of bore and outside
diameter as ISO 15 has them. Makers differ by some per cent: balls or orders that a sheet gives can be typed instead.
"""

MOST_BALLS = 40
FORMS = (
    'its number, such as 6205; its balls, as "balls 9, 7.94, 39.04, 0" (how many, their diameter and the pitch '
    'diameter in mm, the angle in degrees); or its orders, as "orders 3.585, 5.415, 2.357, 0.398" (BPFO, BPFI, BSF, '
    "FTF)"
)
"""What may be typed."""

_NUMBER = re.compile(r"(6[023]0[0-9])(?![0-9])", re.ASCII)
_SPLIT = re.compile(r"[,;\s]+")
_LARGEST = 10_000.0  # of any number that is typed: mm, balls, degrees or orders
_ORDERS_APART = 0.02  # how far BPFO and BPFI may be from what the cage and one number of balls give


@dataclass(frozen=True, slots=True)
class NamedBearing:
    """A bearing: its ``name`` in a sentence ('6205', 'bearing as typed'), and its defect ``orders``."""

    name: str
    orders: DefectOrders


def bearing_of(text: str) -> NamedBearing:
    """Return the bearing in what was typed: a number with any suffix, balls, or orders (``FORMS``).

    ValueError naming ``designation`` with what may be typed.
    """
    words = [word for word in _SPLIT.split(text.strip()) if word]
    kind = words[0].lower() if words else ""
    if kind in _MADE_OF:
        return _MADE_OF[kind]([_number(word, text) for word in words[1:]])
    match = _NUMBER.match(text.strip())
    if match is None or match[1] not in GEOMETRY:
        shown = text.strip()[:30]
        raise ValueError(
            f'designation: the balls of "{shown}" aren\'t known. {", ".join(GEOMETRY)} are. Type {FORMS}'
        )
    balls, share = GEOMETRY[match[1]]
    return NamedBearing(match[1], defect_orders(balls, share, 1.0))


def _number(word: str, text: str) -> float:
    try:
        value = float(word)
    except ValueError:
        raise ValueError(f'designation: "{word[:20]}" in "{text.strip()[:60]}" is no number') from None
    if not abs(value) <= _LARGEST:
        raise ValueError(f'designation: "{word[:20]}" is no size, count or order of a bearing')
    return value


def _by_balls(numbers: list[float]) -> NamedBearing:
    """The bearing of so many balls, their diameter, the pitch diameter and the angle."""
    if len(numbers) not in (3, 4):
        raise ValueError(
            "designation: balls takes three or four numbers: how many, their diameter, the pitch diameter, the angle"
        )
    count, ball, pitch, *rest = numbers
    angle = rest[0] if rest else 0.0
    if count != int(count) or not 3 <= count <= MOST_BALLS:
        raise ValueError(f"designation: a bearing has from 3 to {MOST_BALLS} balls, {count:g} is none")
    if not 0 < ball < pitch:
        raise ValueError("designation: a ball's diameter lies between 0 and the pitch diameter")
    if not 0 <= angle <= 60:
        raise ValueError(f"designation: the contact angle lies from 0 to 60 degrees, is {angle:g}")
    if count * ball > math.pi * pitch:
        raise ValueError(f"designation: {count:.0f} balls of {ball:g} don't go round {pitch:g}")
    return NamedBearing("bearing as typed", defect_orders(int(count), ball, pitch, math.radians(angle)))


def _by_orders(numbers: list[float]) -> NamedBearing:
    """The bearing with these orders. What no bearing gives is refused: BPFO + BPFI are the balls, BPFO is FTF times
    them (kinematics of rolling).
    """
    if len(numbers) != 4:
        raise ValueError("designation: orders takes four numbers: BPFO, BPFI, BSF, FTF")
    outer, inner, element, cage = numbers
    balls = round(outer + inner)
    fits = (
        0 < outer < inner and element > 0 and 0 < cage < 0.5 and 3 <= balls <= MOST_BALLS
        and abs(outer + inner - balls) <= _ORDERS_APART * balls and abs(balls * cage - outer) <= _ORDERS_APART * outer
    )  # fmt: skip
    if not fits:
        raise ValueError(
            "designation: no bearing has these orders: BPFO and BPFI make up the number of balls, BPFO is FTF times it"
        )
    return NamedBearing(
        "bearing as typed", DefectOrders(cage=cage, element=element, outer=outer, inner=inner)
    )


_MADE_OF = {"balls": _by_balls, "orders": _by_orders}
"""The word that begins what is typed, and what is made of the numbers behind it."""
