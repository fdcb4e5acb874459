"""A bearing by the number on its seal, against ISO 15, ISO 5753-1 and the published orders of a 6205."""

from __future__ import annotations

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value


def sized(number: float, shaft: float | None = None, u: float = 0.00003) -> list[Value]:
    inputs = {"designation": [Value("bearing", number, 0.0)]}
    if shaft is not None:
        inputs["shaft"] = [Value("shaft", shaft, u)]
    return CALCULATORS["bearing-size"].compute(inputs, {"balls": 9.0})


@pytest.mark.parametrize(
    ("number", "size"),
    [(6203, (17, 40, 12)), (6205, (25, 52, 15)), (6306, (30, 72, 19)), (6000, (10, 26, 8))],
)
def test_the_sizes_are_those_of_the_standard(number: int, size: tuple[int, int, int]) -> None:
    """d, D and B of ISO 15, in mm; only shown, never judged."""
    found = sized(number)
    assert [round(v.mean * 1000, 6) for v in found] == list(size) and not any(v.judged for v in found)


def test_the_shaft_tells_a_number_read_wrong() -> None:
    """25.02 mm is the shaft of a 6205 and not of a 6206; with nothing measured nothing is said."""
    assert sized(6205, 0.02502)[0].says == "the shaft fits it"
    assert "another" in sized(6206, 0.02502)[0].says and sized(6205)[0].says == ""


def test_a_bad_bearing_clicks_as_published() -> None:
    """6205 with nine balls: 3.5848 outer, 5.4152 inner (Case Western Reserve University); ours is for usual
    proportions, so within 2 % of them.
    """
    says = sized(6205)[1].says
    assert "outer ring clicks 3.6 times a turn, an inner one 5.4" in says


def test_the_play_when_new_is_the_standards() -> None:
    """ISO 5753-1, bore over 24 to 30: CN 5 to 20, C3 13 to 28 um; a bore of 10 mm isn't in its table here."""
    assert sized(6205)[2].says == "a new one has 5 to 28 um of play in itself (CN to C3)"
    assert sized(6000)[2].says == ""


@pytest.mark.parametrize("number", [6209, 6205.5, 620, 7205])
def test_a_number_that_is_no_such_bearing_is_said_so(number: float) -> None:
    """A clear line with what there is."""
    with pytest.raises(ValueError, match="designation: "):
        sized(number)
