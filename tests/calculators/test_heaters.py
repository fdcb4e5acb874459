"""What a heater's plate promises, against Joule's law worked by hand."""

from __future__ import annotations

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value
from wizard.measure.water_electrical.electrical import plate_resistance


def share(ohms: Value, volts: float, watts: float, u_volts: float = 0.0, u_watts: float = 0.0) -> Value:
    inputs = {
        "ohms": [ohms],
        "volts": [Value("plate", volts, u_volts)],
        "watts": [Value("plate", watts, u_watts)],
    }
    (value,) = CALCULATORS["plate-share"].compute(inputs, {})
    return value


def test_a_plate_promises_its_volts_squared_over_its_watts() -> None:
    """P = U^2 / R: 240 V and 5760 W draw 24 A, and 240 V / 24 A is 10 ohm; 230 V and 2300 W draw 10 A: 23 ohm."""
    assert plate_resistance(240, 5760) == pytest.approx(10)
    assert plate_resistance(230, 2300) == pytest.approx(23)


@pytest.mark.parametrize(("volts", "watts", "named"), [(0, 2000, "volts"), (230, 0, "watts")])
def test_a_plate_that_was_not_read_promises_nothing(volts: float, watts: float, named: str) -> None:
    """Nothing is divided by nothing: the argument is named."""
    with pytest.raises(ValueError, match=named):
        plate_resistance(volts, watts)


def test_half_a_coil_is_half_of_its_plate() -> None:
    """A coil of 23 ohm of which half is bridged reads 11.5 ohm: 50 %."""
    value = share(Value("heater", 11.5, 0.0), 230, 2300)
    assert value.mean == pytest.approx(0.5) and value.says == "the plate promises 23 ohm"


def test_a_doubt_of_the_volts_counts_twice() -> None:
    """R goes with the square of U, so 1 % of U is 2 % of R; with 3 % of R itself they make sqrt(13) % (propagation of
    uncertainty, JCGM 100:2008, 5.1.2).
    """
    value = share(Value("heater", 23, 0.69), 230, 2300, u_volts=2.3)
    assert value.uncertainty == pytest.approx(0.13**0.5 / 10)


def test_a_coil_of_no_ohms_has_the_doubt_of_its_meter() -> None:
    """A dead short is no share, and its doubt is the meter's own over what the plate promises."""
    value = share(Value("heater", 0, 0.23), 230, 2300, u_volts=2.3)
    assert value.mean == 0 and value.uncertainty == pytest.approx(0.01)
