"""Whatever is given to a public calculator: an answer without NaN, or a ValueError that names an argument."""

from __future__ import annotations

import dataclasses
import inspect
import math
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from importlib import import_module

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.measure.damping import ringdown, settling
from wizard.measure.mechanics import bearings, dampers, levelling, rotating, runout, springs, walking
from wizard.measure.quantities import rounding, units
from wizard.measure.uncertainty import conformity, propagation, reading_doubts
from wizard.measure.water_electrical import electrical, water

WHEN = [step / 20 for step in range(40)]
SWINGS = [20 * math.exp(-t) * math.cos(9 * t) for t in WHEN]
FITTED = ringdown.fit(WHEN, SWINGS)
RIM = [1.0, 1.1, 1.2, 1.1, 1.0, 0.9, 0.8, 0.9]
SQUARE = [(0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (1.0, 1.0, 0.0)]
GOOD = {
    bearings.defect_orders: (9, 0.3, 1.5, 0.0),
    bearings.radial_clearance: (0.025, "CN"),
    bearings.size: ("6205",),
    dampers.drag: (50.0, 60.0),
    reading_doubts.ask: ([1.0, 2.0, 3.0], "mm", 0.5, 0.0, 5.0),
    reading_doubts.one_more: ([1.0, 2.0], 0.5, 0.1, [1.0, 2.0], [True, False], ["pass", "watch", "fail"]),
    electrical.discharge_time: (1e5, 1e-4, 325.0, 50.0),
    electrical.plate_resistance: (230.0, 2000.0),
    electrical.wait_left: (325.0, 200.0, 60.0, 50.0),
    propagation.propagate: ([1.0, 2.0], [0.1, 0.2]),
    conformity.bands: (1.0, 0.1, [1.0, 2.0], [True, False]),
    conformity.combine: ([1.0, 2.0, 3.0], 0.5, 0.1),
    conformity.verdict: ([0.9, 0.1], ["pass", "fail"]),
    levelling.corners: (0.0, 0.01, 0.0, 0.0, 0.5, 0.5, 0.001),
    levelling.foot_turns: (0.01, 0.0, 0.5, 0.5, 0.0015, levelling.FEET, False, 0.001, "rear-left"),
    levelling.plane: (SQUARE,),
    ringdown.coulomb_force: ([3.0, 2.0, 1.0], 1000.0),
    ringdown.curve: (FITTED, [0.1, 0.2]),
    ringdown.fit: (WHEN, SWINGS),
    ringdown.fit_acceleration: (WHEN, SWINGS),
    ringdown.log_decrement: ([3.0, 2.0, 1.0],),
    ringdown.reversals: (30.0, 0.1, 1.0, 0.5, 20),
    rotating.angular_speed: (1200.0,),
    rotating.permissible_unbalance: (6.3, 3000.0, 100.0),
    rotating.rundown: (5.0, 10.0),
    rotating.rundown_time: (60.0, 1.0, 1.0, 0.1),
    rotating.transmissibility: (3.0, 0.1),
    rotating.unbalance_force: (0.4, 0.24, 1200.0),
    rotating.unbalance_response: (3.0, 0.1),
    rounding.honest: (1.234, 0.01, 6),
    runout.clock: (8,),
    runout.harmonics: (RIM, None),
    runout.play: (RIM, None, 0.05),
    settling.after_push: (FITTED, 0.015, 0.002),
    settling.alike: (0.1, 0.001, 0.015, 0.002),
    springs.helical_rate: (79e9, 0.003, 0.03, 30.0),
    springs.natural_frequency: (14000.0, 50.0),
    springs.rate_from_loads: ((10.0, 20.0), (0.1, 0.2), 0.1, 0.001),
    springs.resonance: (7000.0, 50.0, 2),
    units.brief: (1.0, "mm", 0.1),
    units.counterpart: ("mm", "us"),
    units.dimension: ("mm",),
    units.find: ("mm",),
    units.from_si: (1.0, "mm"),
    units.of_dimension: ("length",),
    units.parse: ("1 mm", "mm"),
    units.read: ("1 mm", "mm"),
    units.span_from_si: (1.0, "mm"),
    units.span_to_si: (1.0, "mm"),
    units.text: (1.0, "mm", 0.1),
    units.to_si: (1.0, "mm"),
    walking.at_speed: (1200.0, 0.4, 0.24, 50.0, 14000.0, 120.0, 80.0, 0.4, 50.0, "horizontal"),
    walking.slip_force: (80.0, 0.4, "horizontal"),
    walking.turning_margin: (80.0, 0.4, 100.0, "horizontal"),
    water.flood: (1e-3, 3600.0),
    water.friction_factor: (1e5, 1e-4),
    water.hose_age: (date(2020, 1, 1), date(2024, 1, 1)),
    water.hose_flow: (1e5, 0.01, 1.5, 0.0, 0.5, 1.0, 998.2, 1e-3),
}
"""Every public calculator with arguments that it takes."""

SLOW = {ringdown.fit, ringdown.fit_acceleration}
NUMBERS = [
    math.nan, math.inf, -math.inf, 1e308, -1e308, 1.7e308, 5e-324, -5e-324, 2.3e-308, 1e40, -1e40, 1e-40, 1e20, 1e-20,
    -1.0, 0.0, -0.0, 0, 1, 2, 3.5, 1 - 1e-16, 10**400, -(10**400), math.pi / 2,
]  # fmt: skip
OTHERS = [
    None, True, False, "5", "", "nan", b"1", bytearray(b"1"), [], [1.0], {}, {"a": 1}, (), set(), object(), 1 + 2j,
    Fraction(1, 3), Decimal(1), np.float64(2), np.int64(2), np.float64("nan"), np.bool_(True), np.array([1.0, 2.0]),
    date(2020, 1, 1), timedelta(1), range(3), float, [None], [[1.0]], ["a", "b"], [True, False], [math.nan] * 8,
]  # fmt: skip
ODD = st.one_of(st.sampled_from(NUMBERS), st.sampled_from(OTHERS), st.floats(), st.integers())


def holds_nan(value: object) -> bool:
    """True where a result has a NaN in it, however deep."""
    if isinstance(value, float):
        return math.isnan(value)
    if isinstance(value, np.ndarray):
        return bool(np.isnan(value).any())
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return any(holds_nan(getattr(value, f.name)) for f in dataclasses.fields(value))
    if isinstance(value, dict):
        return any(map(holds_nan, value.values()))
    return isinstance(value, tuple | list) and any(map(holds_nan, value))


def answered(function, arguments) -> None:
    """Call it; it gives no NaN, or raises a ValueError that begins with the name of one of its arguments."""
    names = list(inspect.signature(function).parameters)
    try:
        found = function(*arguments)
    except ValueError as problem:
        assert type(problem) is ValueError, problem
        said = str(problem)
        assert said.partition(": ")[0] in names and len(said.partition(": ")[2]) > 3, said
    else:
        assert not holds_nan(found), found


def spoilt(data: st.DataObject, argument: object) -> object:
    """An odd thing in place of an argument, or in place of one of the numbers of a list."""
    if isinstance(argument, list | tuple) and argument and data.draw(st.booleans()):
        at = data.draw(st.integers(0, len(argument) - 1))
        return type(argument)(spoilt(data, x) if n == at else x for n, x in enumerate(argument))
    return data.draw(ODD)


def test_the_table_has_every_public_calculator():
    """And all take what it gives them."""
    names = {f.__module__ for f in GOOD}
    public = {
        function
        for module in map(import_module, names)
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    assert public == set(GOOD) and len(names) == 16
    for function, arguments in GOOD.items():
        assert len(arguments) == len(inspect.signature(function).parameters), function
        assert not holds_nan(function(*arguments))


@pytest.mark.parametrize(
    "function", [f for f in GOOD if f not in SLOW], ids=lambda f: f"{f.__module__}.{f.__name__}"
)
@settings(max_examples=examples(150), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(st.data())
def test_odd_arguments_are_named_or_answered(function, data):
    """One to three arguments, or numbers in their lists, are changed for something extreme or odd."""
    arguments = list(GOOD[function])
    wrong = data.draw(st.sets(st.integers(0, len(arguments) - 1), min_size=1, max_size=3))
    for at in wrong:
        arguments[at] = spoilt(data, arguments[at])
    answered(function, arguments)


@pytest.mark.parametrize(
    "function", [f for f in GOOD if f not in SLOW], ids=lambda f: f"{f.__module__}.{f.__name__}"
)
def test_each_odd_thing_in_each_place(function):
    """Every odd number and thing of the list, in every place, one at a time."""
    for at in range(len(GOOD[function])):
        for odd in (*NUMBERS, *OTHERS):
            arguments = list(GOOD[function])
            arguments[at] = odd
            answered(function, arguments)


@pytest.mark.parametrize("function", sorted(SLOW, key=lambda f: f.__name__), ids=lambda f: f.__name__)
@pytest.mark.parametrize("odd", [None, True, "5", b"1", math.nan, 1e308, 5e-324, 1e40, 1e-40], ids=repr)
def test_an_odd_reading_in_a_record(function, odd):
    """One time or one height in a record is odd, or all of a record is scaled by it."""
    for place in (0, 1):
        record = [list(WHEN), list(SWINGS)]
        record[place][7] = odd
        answered(function, record)
        answered(function, [odd if n == place else r for n, r in enumerate((WHEN, SWINGS))])
        if isinstance(odd, float) and math.isfinite(odd):
            scaled = [list(WHEN), list(SWINGS)]
            scaled[place] = [x * odd for x in scaled[place]]
            answered(function, scaled)


@pytest.mark.parametrize("odd", [True, False, "5", b"1", np.bool_(True), 1 + 2j, Decimal(1), None], ids=repr)
def test_what_is_no_number_is_never_taken_as_one(odd):
    """A tick, a text or bytes where a number is asked is refused, in a list too."""
    for call in (
        lambda: conformity.combine([odd], 0, 0),
        lambda: rotating.angular_speed(odd),
        lambda: springs.natural_frequency(1, odd),
    ):
        with pytest.raises(ValueError, match="is not a number"):
            call()


def test_numbers_of_libraries_are_numbers():
    """Whole, exact and library numbers are taken."""
    for number in (
        3,
        3.0,
        Fraction(3),
        np.float64(3),
        np.float32(3),
        np.int64(3),
        np.array(3),
        np.array(3.0),
    ):
        assert rotating.angular_speed(number) == pytest.approx(3 * math.pi / 30)
