"""Calculators of parts to be ordered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from wizard.calculators.values import Inputs, Settings, Value, number

if TYPE_CHECKING:
    from wizard.measure.mechanics.bearings import Size

from wizard.calculators.declaration import Calculator, Input, Setting

_FITS = 0.00005
"""A shaft this much off the bore, m, is still its own: fits and a caliper's hand. Estimate."""


_BALL = 0.3
"""A ball's diameter as a share of outside less bore, deep groove; 0.294 on a 6205. Estimate."""


def bearing_size(inputs: Inputs, settings: Settings) -> list[Value]:
    """Bore, outside and width of a bearing by its number, whether the shaft fits it, and what it does when bad."""
    from wizard.measure.mechanics import bearings

    typed = inputs["designation"][0].mean
    if typed != round(typed):
        raise ValueError(f"designation: {typed:g} is no number of a bearing, write four digits such as 6205")
    size, shaft = bearings.size(f"{typed:.0f}"), inputs.get("shaft", ())
    clicks = _clicks(size, round(number(settings, "balls")))
    return [
        Value("bore", size.bore, 0.0, 0, judged=False, says=_fits(shaft[0], size.bore) if shaft else ""),
        Value("outside", size.outside, 0.0, 1, judged=False, says=clicks),
        Value("width", size.width, 0.0, 2, judged=False, says=_new(size.bore)),
    ]


def _fits(shaft: Value, bore: float) -> str:
    """Whether the shaft is that of the bore."""
    if abs(shaft.mean - bore) <= _FITS + 2 * shaft.uncertainty:
        return "the shaft fits it"
    return "the shaft measured is another: read the number again before you order"


def _clicks(size: Size, balls: int) -> str:
    """How often a bad ring or ball is heard in a slow turn, for usual proportions."""
    from wizard.measure.mechanics import bearings

    orders = bearings.defect_orders(balls, _BALL * (size.outside - size.bore), (size.outside + size.bore) / 2)
    rings = f"a bad outer ring clicks {orders.outer:.1f} times a turn, an inner one {orders.inner:.1f}"
    return f"turned slowly, with {balls} balls: {rings}, a ball {2 * orders.element:.1f}"


def _new(bore: float) -> str:
    """The play that a new one has in itself, where the standard's table has it."""
    from wizard.measure.mechanics import bearings

    if bore <= 0.010:  # the table begins above it
        return ""
    least, most = bearings.radial_clearance(bore).least, bearings.radial_clearance(bore, "C3").most
    return f"a new one has {least * 1e6:.0f} to {most * 1e6:.0f} um of play in itself (CN to C3)"


ROWS = (
    Calculator(
        "bearing-size",
        "bore, outside and width of a deep groove ball bearing by the number on its seal (ISO 15: 60, 62 and 63, bores "
        "10 to 40 mm), whether the shaft fits it, its play when new (ISO 5753-1), and how often it clicks a turn "
        "when a part of it is bad",
        {
            "designation": Input("count", "the number on the seal, without its letters"),
            "shaft": Input("length", "the shaft where the bearing sits", optional=True),
        },
        "length",
        "mm",
        {"balls": Setting("count", "how many balls it is computed with; estimate", 3, 40, 9)},
        compute=bearing_size,
    ),
)
