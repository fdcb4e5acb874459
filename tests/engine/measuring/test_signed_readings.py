"""A number whose sign says which side is high, or lower, is taken with its sign only.

Common practice: a level is read twice, turned round between; two readings of one sign cancel, and a slope of 1.1
degrees would be judged level.
"""

from __future__ import annotations

from functools import cache

import pytest

from wizard.engine.measuring.reading_input import parsed
from wizard.errors import Refused
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import MeasureStep


@cache
def reading(name: str):
    inspection, step = name.split(".")
    found = load(shipped()["washer-shake"]).inspections[inspection].step(step)
    assert isinstance(found, MeasureStep)
    return found.reading


@pytest.mark.parametrize("name", ["feet.slope", "close.slope"])
@pytest.mark.parametrize(
    ("item", "way", "plus", "minus"),
    [(0, 0, "right", "left"), (0, 1, "left", "right"), (1, 0, "front", "rear"), (1, 1, "rear", "front")],
)
def test_a_slope_without_a_sign_is_refused_with_the_side_that_each_sign_means(name, item, way, plus, minus):
    """Turned round, the end that was to the right lies to the left."""
    level = reading(name)
    with pytest.raises(Refused) as refusal:
        parsed(level, "1.1", "", signs=level.signs(item, way))
    assert str(refusal.value) == f"1.1 has no sign. Type +1.1 for {plus} high, -1.1 for {minus} high."


def test_a_sign_is_taken_and_nothing_needs_none():
    level = reading("feet.slope")
    signs = level.signs(0, 0)
    assert parsed(level, "+1,1", "", signs=signs) == -parsed(level, " -1.1", "", signs=signs) > 0
    assert parsed(level, "0", "", signs=signs) == parsed(level, "0.0", "", signs=signs) == 0


def test_a_tub_that_leans_is_typed_with_its_side():
    lean = reading("springs.jogged")
    with pytest.raises(Refused, match="right lower"):
        parsed(lean, "12 mm", "", signs=lean.signs(0, 1))


def test_what_has_no_sides_needs_no_sign():
    rock = reading("feet.rock")
    assert parsed(rock, "3", "", signs=rock.signs(0, 0)) > 0
