"""Rolling bearings: the frequencies a defect gives, boundary sizes by designation, and clearance."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from wizard.measure.argument_checks import finite, one_of, positive, whole

# Outside diameter and width in mm by series and bore code (ISO 15, dimension series 10, 02 and 03).
_SIZES: dict[str, dict[str, tuple[int, int]]] = {
    "60": {
        "00": (26, 8), "01": (28, 8), "02": (32, 9), "03": (35, 10), "04": (42, 12), "05": (47, 12),
        "06": (55, 13), "07": (62, 14), "08": (68, 15),
    },
    "62": {
        "00": (30, 9), "01": (32, 10), "02": (35, 11), "03": (40, 12), "04": (47, 14), "05": (52, 15),
        "06": (62, 16), "07": (72, 17), "08": (80, 18),
    },
    "63": {
        "00": (35, 11), "01": (37, 12), "02": (42, 13), "03": (47, 14), "04": (52, 15), "05": (62, 17),
        "06": (72, 19), "07": (80, 21), "08": (90, 23),
    },
}  # fmt: skip
_BORES = {"00": 10, "01": 12, "02": 15, "03": 17}
_DESIGNATION = re.compile(r"\s*(6[023])(0[0-8])(?![0-9])", re.ASCII)
# Radial clearance in um, deep groove (ISO 5753-1): bore over, up to, then (least, most) by group.
_CLEARANCES: tuple[tuple[int, int, dict[str, tuple[int, int]]], ...] = (
    (10, 18, {"CN": (3, 18), "C3": (11, 25)}),
    (18, 24, {"CN": (5, 20), "C3": (13, 28)}),
    (24, 30, {"CN": (5, 20), "C3": (13, 28)}),
    (30, 40, {"CN": (6, 20), "C3": (15, 33)}),
)


@dataclass(frozen=True, slots=True)
class DefectOrders:
    """Times shaft speed: ``cage`` turning, ``element`` spinning on itself, its passes at the ``outer``
    and ``inner`` ring. A defect on an element strikes twice a spin.
    """

    cage: float
    element: float
    outer: float
    inner: float


@dataclass(frozen=True, slots=True)
class Size:
    """Boundary dimensions in m, and the ``designation`` without its suffixes."""

    designation: str
    bore: float
    outside: float
    width: float


@dataclass(frozen=True, slots=True)
class Clearance:
    """Radial internal clearance of a new, unfitted bearing: ``least`` and ``most`` in m."""

    least: float
    most: float


def defect_orders(
    elements: int, element_diameter: float, pitch_diameter: float, contact_angle: float = 0.0
) -> DefectOrders:
    """Return the defect frequencies as multiples of shaft speed, outer ring at rest, no slip.

    Diameters in one unit, ``contact_angle`` in radians, from 0 to below pi/2. ValueError naming the argument.
    Source: kinematics of rolling; Harris, Rolling Bearing Analysis (from memory).
    """
    count = whole("elements", elements, 3, 1000)
    ball, pitch = positive("element_diameter", element_diameter), positive("pitch_diameter", pitch_diameter)
    if ball >= pitch:
        raise ValueError("element_diameter: must be less than the pitch diameter")
    angle = finite("contact_angle", contact_angle)
    if not 0 <= angle < math.pi / 2:
        raise ValueError(f"contact_angle: must be from 0 to below pi/2 radians, is {angle:g}")
    share = ball / pitch * math.cos(angle)
    return DefectOrders(
        cage=(1 - share) / 2,
        element=(1 - share * share) * pitch / ball / 2,
        outer=count * (1 - share) / 2,
        inner=count * (1 + share) / 2,
    )


def size(designation: str) -> Size:
    """Return the boundary dimensions of a deep groove ball bearing, such as '6205' or '6305-2RS C3'.

    Series 60, 62 and 63, bores 10 to 40 mm. ValueError naming ``designation`` otherwise. Source: ISO 15.
    """
    match = _DESIGNATION.match(str(designation))
    if match is None:
        raise ValueError(
            f'designation: "{designation}" is not in the table: it has 6000-6008, 6200-6208, 6300-6308'
        )
    series, code = match.groups()
    outside, width = _SIZES[series][code]
    bore = _BORES.get(code, 5 * int(code))
    return Size(series + code, bore / 1000, outside / 1000, width / 1000)


def radial_clearance(bore: float, group: str = "CN") -> Clearance:
    """Return the radial internal clearance of a new deep groove bearing of ``bore`` m, group 'CN' or 'C3'.

    Bores over 10 up to 40 mm. ValueError naming the argument. Source: ISO 5753-1.
    """
    millimetres = round(positive("bore", bore) * 1000, 6)
    one_of("group", group, ("CN", "C3"))
    for over, up_to, groups in _CLEARANCES:
        if over < millimetres <= up_to:
            least, most = groups[group]
            return Clearance(least / 1e6, most / 1e6)
    raise ValueError(f"bore: must be over 10 up to 40 mm, is {millimetres:g} mm")
