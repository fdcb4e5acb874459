"""The closed table of units: what the program knows how to read and to write.

Each unit has a symbol, a dimension, an exact factor to SI and, for temperatures, an offset. Factors are
exact by definition: the inch, the pound, the US gallon (NIST SP 811, appendix B), standard gravity
9.80665 m/s2 (CGPM 1901). Two conventions of the trade: speed of turning is kept in Hz (60 rpm = 1 Hz),
and a slope in mm/m counts as that many thousandths of a radian (0.1 % off at 3 degrees).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

GRAVITY = 9.80665  # m/s2, standard
_G0 = Fraction(980665, 100000)
_INCH = Fraction(254, 10000)
_POUND = Fraction(45359237, 100000000)
_GALLON = Fraction(3785411784, 10**12)
_MILLI, _MICRO, _KILO, _MEGA = Fraction(1, 1000), Fraction(1, 10**6), Fraction(1000), Fraction(10**6)
_LBF = _POUND * _G0
_DAY = Fraction(86400)
_DEG = Fraction(math.pi) / 180


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: SI value = (value + ``offset``) x ``factor``; ``names`` are other ways to write it."""

    symbol: str
    dimension: str
    factor: Fraction
    names: tuple[str, ...] = ()
    offset: Fraction = Fraction(0)


def _units(dimension: str, *rows: tuple[str, Fraction | int, str]) -> list[Unit]:
    """Return the units of one dimension from rows of symbol, factor and other names in one text."""
    return [Unit(symbol, dimension, Fraction(factor), tuple(names.split())) for symbol, factor, names in rows]


_TEMPERATURES = [
    Unit("degC", "temperature", Fraction(1), ("°C", "celsius"), Fraction(27315, 100)),
    Unit("degF", "temperature", Fraction(5, 9), ("°F", "fahrenheit"), Fraction(45967, 100)),
    Unit("K", "temperature", Fraction(1), ("kelvin",)),
]

UNITS: tuple[Unit, ...] = (
    *_units(
        "length",
        ("mm", _MILLI, "millimetre millimetres millimeter millimeters"),
        ("cm", Fraction(1, 100), "centimetre centimetres centimeter centimeters"),
        ("m", 1, "metre metres meter meters"),
        ("in", _INCH, 'inch inches " ″ ”'),
        ("ft", _INCH * 12, "foot feet ' ′ ’"),  # noqa: RUF001
        ("um", _MICRO, "μm micron microns"),
        ("mil", _INCH / 1000, "mils thou"),
    ),
    *_units(
        "mass",
        ("kg", 1, "kilo kilos kilogram kilograms"),
        ("g", _MILLI, "gram grams"),
        ("lb", _POUND, "lbs pound pounds"),
        ("oz", _POUND / 16, "ounce ounces"),
    ),
    *_units(
        "force",
        ("N", 1, "newton newtons"),
        ("kN", _KILO, ""),
        ("kgf", _G0, "kp"),
        ("gf", _G0 / 1000, ""),
        ("lbf", _LBF, ""),
        ("ozf", _LBF / 16, ""),
    ),
    *_units(
        "angle",
        ("deg", _DEG, "° degree degrees"),
        ("mm/m", _MILLI, ""),
        ("rad", 1, "radian radians"),
    ),
    *_units("ratio", ("%", Fraction(1, 100), "percent"), ("1", 1, "")),
    *_units(
        "count",
        ("count", 1, "counts times"),
        ("turns", 1, "turn rev revs"),
        ("swings", 1, "swing bounces bounce"),
    ),
    *_units("voltage", ("V", 1, "volt volts"), ("mV", _MILLI, "")),
    *_units("current", ("A", 1, "amp amps"), ("mA", _MILLI, "")),
    *_units(
        "resistance",
        ("ohm", 1, "ohms Ω"),
        ("kohm", _KILO, "kohms kΩ k"),
        ("Mohm", _MEGA, "Mohms MΩ megohm megohms"),
        ("mohm", _MILLI, "mΩ"),
    ),
    *_units(
        "capacitance", ("uF", _MICRO, "μF mfd"), ("nF", Fraction(1, 10**9), ""), ("F", 1, "farad farads")
    ),
    *_units(
        "time",
        ("s", 1, "sec secs second seconds"),
        ("ms", _MILLI, ""),
        ("min", 60, "mins minute minutes"),
        ("h", 3600, "hr hrs hour hours"),
        ("days", _DAY, "day d"),
        ("years", _DAY * Fraction(36525, 100), "year yr yrs y"),
    ),
    *_units("frequency", ("Hz", 1, "hertz"), ("rpm", Fraction(1, 60), "r/min rev/min")),
    *_units("run-up", ("rpm/s", Fraction(1, 60), ""), ("Hz/s", 1, "")),
    *_units("speed", ("m/s", 1, ""), ("mm/s", _MILLI, "")),
    *_units("acceleration", ("m/s2", 1, "m/s^2"), ("g0", _G0, "gn")),
    *_units(
        "stiffness",
        ("N/mm", _KILO, ""),
        ("N/m", 1, ""),
        ("kN/m", _KILO, ""),
        ("lbf/in", _LBF / _INCH, "lb/in"),
        ("kgf/mm", _G0 * 1000, "kg/mm"),
    ),
    *_units("damping", ("N s/m", 1, "N*s/m Ns/m"), ("lbf s/in", _LBF / _INCH, "lb*s/in")),
    *_units(
        "pressure",
        ("kPa", _KILO, ""),
        ("bar", 10**5, "bars"),
        ("Pa", 1, "pascal pascals"),
        ("MPa", _MEGA, ""),
        ("psi", _LBF / _INCH**2, ""),
    ),
    *_units(
        "volume",
        ("L", _MILLI, "l litre litres liter liters"),
        ("mL", _MICRO, "ml"),
        ("m3", 1, "m^3"),
        ("gal", _GALLON, "gallon gallons"),
    ),
    *_units(
        "flow",
        ("L/min", _MILLI / 60, "l/min lpm"),
        ("m3/s", 1, "m^3/s"),
        ("L/h", _MILLI / 3600, "l/h"),
        ("gal/h", _GALLON / 3600, "gph"),
        ("gal/min", _GALLON / 60, "gpm"),
    ),
    *_TEMPERATURES,
    *_units("energy", ("J", 1, "joule joules"), ("kJ", _KILO, "")),
    *_units("power", ("W", 1, "watt watts"), ("kW", _KILO, "kilowatt kilowatts")),
    *_units("torque", ("N m", 1, "Nm N*m"), ("lbf ft", _LBF * _INCH * 12, "lb*ft ft*lb ft*lbf lb-ft ft-lb")),
    *_units("unbalance", ("kg m", 1, "kg*m"), ("g mm", _MICRO, "g*mm")),
)

# What people write, where the question says which it must be: a pull scale reads 'kg'.
MEANT: dict[str, dict[str, str]] = {
    "force": {"kg": "kgf", "lb": "lbf", "g": "gf", "oz": "ozf"},
    "acceleration": {"g": "g0"},
    "temperature": {"C": "degC", "c": "degC", "F": "degF", "f": "degF"},
}

# What is said instead of a symbol that nobody writes.
IN_WORDS: dict[str, str] = {"g0": "gravity, 9.81 m/s2"}

# The same quantity in the other system: (metric, US).
PAIRS: tuple[tuple[str, str], ...] = (
    ("mm", "in"),
    ("m", "ft"),
    ("um", "mil"),
    ("kg", "lb"),
    ("g", "oz"),
    ("N", "lbf"),
    ("N/mm", "lbf/in"),
    ("N s/m", "lbf s/in"),
    ("kPa", "psi"),
    ("L", "gal"),
    ("L/min", "gal/h"),
    ("degC", "degF"),
    ("N m", "lbf ft"),
)
US_OF: dict[str, str] = {
    **dict(PAIRS),
    "cm": "in",
    "kN": "lbf",
    "kgf": "lbf",
    "N/m": "lbf/in",
    "kN/m": "lbf/in",
    "kgf/mm": "lbf/in",
    "bar": "psi",
    "Pa": "psi",
    "MPa": "psi",
    "mL": "gal",
    "L/h": "gal/h",
    "K": "degF",
}
METRIC_OF: dict[str, str] = {
    **{us: metric for metric, us in PAIRS},
    "gal/min": "L/min",
    "ozf": "N",
}
