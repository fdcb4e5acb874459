"""Bad input to every public calculator is a ValueError that names the argument."""

import inspect
import math
from datetime import date, datetime
from importlib import import_module

import pytest

from wizard.measure.damping import ringdown, settling
from wizard.measure.mechanics import bearings, dampers, levelling, rotating, runout, springs, walking
from wizard.measure.quantities import rounding, units
from wizard.measure.uncertainty import conformity, propagation, reading_doubts
from wizard.measure.water_electrical import electrical, water

NAN, INF = math.nan, math.inf
FALLING, TIMES = [10, 8, 6, 5, 4, 3, 2, 1.5], [0, 1, 2, 3, 4, 5, 6, 7]
FORTY = [step / 20 for step in range(40)]
EIGHT = [1.0, 1.1, 1.2, 1.1, 1.0, 0.9, 0.8, 0.9]
LIMIT = ([1.0], [True], ["pass", "fail"])
FITTED = ringdown.fit(FORTY, [20 * math.exp(-t) * math.cos(9 * t) for t in FORTY])
SQUARE = [(0, 0, 0), (1, 0, 0), (0, 1, 0), (1, 1, 0)]
FEET4 = (0, 0, 0, 0, 0.5, 0.5)
WALK = {"rpm": 1200, "unbalance_mass": 0.4, "radius": 0.24, "hung_mass": 50, "stiffness": 14000, "damping": 120,
        "machine_mass": 80, "friction": 0.4}  # fmt: skip


def at_speed(**changed):
    """Call ``walking.at_speed`` with one argument changed."""
    return walking.at_speed(**{**WALK, **changed})


# The function, its arguments, and the name that the message must begin with.
BAD = [
    # judging
    (conformity.combine, ([], 0, 0), "readings"),
    (conformity.combine, ([1, NAN], 0, 0), "readings"),
    (conformity.combine, ("abc", 0, 0), "readings"),
    (conformity.combine, (3, 0, 0), "readings"),
    (conformity.combine, ([1], -1, 0), "resolution"),
    (conformity.combine, ([1], NAN, 0), "resolution"),
    (conformity.combine, ([1], 0, -1), "tool_uncertainty"),
    (conformity.bands, (NAN, 1, [1], [True]), "value"),
    (conformity.bands, (1, -1, [1], [True]), "uncertainty"),
    (conformity.bands, (1, 1, [2, 1], [True, True]), "edges"),
    (conformity.bands, (1, 1, [1, 1], [True, True]), "edges"),
    (conformity.bands, (1, 1, [1], []), "inclusive"),
    (conformity.bands, (1, 1, [1], None), "inclusive"),
    (conformity.bands, (1, 1, [1], [1]), "inclusive"),
    (conformity.verdict, ([1.0], None), "verdicts"),
    (conformity.combine, ([True], 0, 0), "readings"),
    (conformity.combine, (["5"], 0, 0), "readings"),
    (conformity.combine, (b"1", 0, 0), "readings"),
    (conformity.combine, ([1e40, -1e40], 1e40, 0), "readings"),
    (conformity.verdict, ([], []), "probabilities"),
    (conformity.verdict, ([0.5, 0.4], ["pass", "fail"]), "probabilities"),
    (conformity.verdict, ([1.5, -0.5], ["pass", "fail"]), "probabilities"),
    (conformity.verdict, ([1.0], ["pass", "fail"]), "verdicts"),
    (conformity.verdict, ([1.0], ["good"]), "verdicts"),
    (propagation.propagate, ([1], [1, 2]), "uncertainties"),
    (propagation.propagate, ([1], [-1]), "uncertainties"),
    (propagation.propagate, ([NAN], [1]), "sensitivities"),
    (rounding.honest, (NAN, 1), "value"),
    (rounding.honest, (1, -1), "uncertainty"),
    (reading_doubts.ask, ([], "mm"), "readings"),
    (reading_doubts.ask, ([1], "mm", -1), "resolution"),
    (reading_doubts.ask, ([1], "mm", 0, 2, 1), "low"),
    (reading_doubts.ask, ([1], "mm", 0, 0, NAN), "high"),
    (reading_doubts.one_more, ([], 0, 0, *LIMIT), "readings"),
    (reading_doubts.one_more, ([1], -1, 0, *LIMIT), "resolution"),
    # units
    (units.parse, ("x", "mm"), "text"),
    (units.parse, ("1", "furlong"), "unit"),
    (units.read, ("1 kg", "mm"), "text"),
    (units.to_si, (NAN, "mm"), "value"),
    (units.to_si, (1, "nothing"), "unit"),
    (units.from_si, (INF, "mm"), "value"),
    (units.span_to_si, (NAN, "mm"), "span"),
    (units.span_from_si, (NAN, "mm"), "span"),
    (units.dimension, ("",), "unit"),
    (units.find, (None,), "unit"),
    (units.of_dimension, ("taste",), "name"),
    (units.counterpart, ("mm", "roman"), "system"),
    (units.counterpart, ("?", "us"), "unit"),
    (units.text, (1, "mm", -1), "uncertainty"),
    (units.brief, (NAN, "mm"), "value"),
    (units.brief, (1, "mm", -1), "uncertainty"),
    (units.text, (NAN, "mm"), "value"),
    # turning
    (rotating.angular_speed, (-1,), "rpm"),
    (rotating.unbalance_force, (-0.4, 0.24, 1200), "mass"),
    (rotating.unbalance_force, (0.4, NAN, 1200), "radius"),
    (rotating.unbalance_force, (0.4, 0.24, -1), "rpm"),
    (rotating.unbalance_response, (-1, 0.1), "ratio"),
    (rotating.unbalance_response, (1, NAN), "damping_ratio"),
    (rotating.transmissibility, (INF, 0.1), "ratio"),
    (rotating.transmissibility, (1, -0.1), "damping_ratio"),
    (rotating.permissible_unbalance, (0, 3000, 100), "grade"),
    (rotating.permissible_unbalance, (6.3, 0, 100), "rpm"),
    (rotating.permissible_unbalance, (6.3, 3000, 0), "mass"),
    (rotating.rundown, (0, 10), "turns"),
    (rotating.rundown, (5, 0), "seconds"),
    (rotating.rundown_time, (-1, 1, 1), "rpm"),
    (rotating.rundown_time, (100, 0, 1), "inertia"),
    (rotating.rundown_time, (100, 1, 0), "friction_torque"),
    (rotating.rundown_time, (100, 1, 1, -1), "viscous"),
    (walking.slip_force, (0, 0.4), "mass"),
    (walking.slip_force, (80, NAN), "friction"),
    (walking.slip_force, (80, 0.4, "sideways"), "axis"),
    (walking.turning_margin, (80, 0.4, -1), "force"),
    (walking.turning_margin, (80, 0.4, 1, "up"), "axis"),
    *((at_speed, {name: NAN}, name) for name in (*WALK, "friction_force")),
    *((at_speed, {name: 0}, name) for name in ("hung_mass", "stiffness", "machine_mass")),
    (at_speed, {"damping": -1}, "damping"),
    (at_speed, {"unbalance_mass": -1}, "unbalance_mass"),
    (at_speed, {"rpm": 60 * springs.natural_frequency(14000, 50), "damping": 0}, "damping"),
    # springs and dampers
    (springs.helical_rate, (0, 0.001, 0.01, 10), "shear_modulus"),
    (springs.helical_rate, (79e9, 0, 0.01, 10), "wire"),
    (springs.helical_rate, (79e9, 0.02, 0.01, 10), "wire"),
    (springs.helical_rate, (79e9, 0.001, NAN, 10), "mean_diameter"),
    (springs.helical_rate, (79e9, 0.001, 0.01, 0), "active_coils"),
    (springs.natural_frequency, (0, 50), "stiffness"),
    (springs.natural_frequency, (1000, 0), "mass"),
    (springs.resonance, (0, 50), "rate"),
    (springs.resonance, (1000, 50, 0), "count"),
    (springs.resonance, (1000, NAN), "mass"),
    (springs.rate_from_loads, ((10, 10), (0.1, 0.2)), "loads"),
    (springs.rate_from_loads, (None, (0.1, 0.2)), "loads"),
    (springs.rate_from_loads, ((1, 2, 3), (0.1, 0.2)), "loads"),
    (springs.rate_from_loads, ((-10, 10), (0.1, 0.2)), "loads"),
    (springs.rate_from_loads, ((10, 20), (0.2, 0.1)), "lengths"),
    (springs.rate_from_loads, ((10, 20), (0.1, NAN)), "lengths"),
    (springs.rate_from_loads, ((10, 20), (0.1, 0.2), -1), "load_u"),
    (springs.rate_from_loads, ((10, 20), (0.1, 0.2), 1, -1), "length_u"),
    (dampers.drag, (-1, 50), "outward"),
    (dampers.drag, (50, NAN), "inward"),
    # levelling
    (levelling.plane, (SQUARE[:2],), "points"),
    (levelling.plane, ([(0, 0), (1, 0), (0, 1)],), "points"),
    (levelling.plane, ([*SQUARE[:3], (1, 1, NAN)],), "points"),
    (levelling.plane, ([(0, 0, 0), (1, 1, 0), (2, 2, 0)],), "points"),
    (levelling.plane, ([(0, 0, 0)] * 4,), "points"),
    (levelling.plane, ([1, 2, 3],), "points"),
    (levelling.plane, (None,), "points"),
    (levelling.plane, (5,), "points"),
    (levelling.plane, ([*SQUARE, (0, 0, 1)],), "points"),
    (levelling.plane, ([(0, 0, 0), (0, 0, 1), (1, 0, 0), (0, 1, 0)],), "points"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, None), "free"),
    (levelling.foot_turns, (NAN, 0, 0.5, 0.5, 0.001), "side_slope"),
    (levelling.foot_turns, (0, 1.2, 0.5, 0.5, 0.001), "front_slope"),
    (levelling.foot_turns, (0, 0, 0, 0.5, 0.001), "width"),
    (levelling.foot_turns, (0, 0, 0.5, -1, 0.001), "depth"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0), "pitch"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, []), "free"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, ["middle"]), "free"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, ["rear-left"], True), "free"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, levelling.FEET, False, -1), "rock"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, levelling.FEET, False, 0.001), "loose"),
    (levelling.foot_turns, (0, 0, 0.5, 0.5, 0.001, levelling.FEET, False, 0, "tail"), "loose"),
    (levelling.corners, (NAN, *FEET4[1:]), "front_left"),
    (levelling.corners, (*FEET4[:3], NAN, 0.5, 0.5), "rear_right"),
    (levelling.corners, (*FEET4[:4], 0, 0.5), "width"),
    (levelling.corners, (*FEET4[:5], 0), "depth"),
    (levelling.corners, (*FEET4, -1), "height_u"),
    # run-out
    *((runout.clock, (count,), "count") for count in (0, None, INF, NAN, 1e308, 2.5, 10**6)),
    (rotating.transmissibility, (1.5, 1e308), "damping_ratio"),
    (rotating.rundown_time, (1e308, 1, 1), "rpm"),
    (settling.after_push, (None,), "found"),
    (runout.harmonics, (EIGHT[:4],), "readings"),
    (runout.harmonics, ([*EIGHT[:7], NAN],), "readings"),
    (runout.harmonics, (EIGHT, EIGHT[:7]), "angles"),
    (runout.harmonics, (EIGHT, [0, 0, 1, 2, 3, 4, 5, 6]), "angles"),
    (runout.harmonics, (EIGHT, [0, 2 * math.pi, 1, 2, 3, 4, 5, 6]), "angles"),
    (runout.harmonics, (EIGHT, [0, 1e-5, 2e-5, 3e-5, 4e-5, 5e-5, 6e-5, 7e-5]), "angles"),
    (runout.play, (EIGHT[:4],), "readings"),
    (runout.play, ([-1.0, *EIGHT[:7]],), "readings"),
    (runout.play, (EIGHT, [0, 0, 1, 2, 3, 4, 5, 6]), "angles"),
    (runout.play, (EIGHT, None, -1), "uncertainty"),
    # bearings
    (bearings.defect_orders, (2, 0.3, 1.5), "elements"),
    (bearings.defect_orders, (8.5, 0.3, 1.5), "elements"),
    (bearings.defect_orders, (9, 0, 1.5), "element_diameter"),
    (bearings.defect_orders, (9, 2, 1.5), "element_diameter"),
    (bearings.defect_orders, (9, 0.3, NAN), "pitch_diameter"),
    (bearings.defect_orders, (9, 0.3, 1.5, 2), "contact_angle"),
    (bearings.size, ("nonsense",), "designation"),
    (bearings.size, (None,), "designation"),
    (bearings.radial_clearance, (0.010,), "bore"),
    (bearings.radial_clearance, (0.041,), "bore"),
    (bearings.radial_clearance, (0.025, "C9"), "group"),
    # water and electricity
    (water.flood, (-1, 1), "flow"),
    (water.flood, (1, -1), "seconds"),
    (water.friction_factor, (0,), "reynolds"),
    (water.friction_factor, (1e5, 0.2), "relative_roughness"),
    (water.hose_flow, (-1, 0.01, 1), "pressure"),
    (water.hose_flow, (1e5, 0, 1), "bore"),
    (water.hose_flow, (1e5, 0.01, -1), "length"),
    (water.hose_flow, (1e5, 0.01, 0, 0, 0, 0), "length"),
    (water.hose_flow, (1e5, 0.01, 1, -1), "roughness"),
    (water.hose_flow, (1e5, 0.01, 1, 0.005), "roughness"),
    (water.hose_flow, (1e5, 0.01, 1, 0, -1), "entrance"),
    (water.hose_flow, (1e5, 0.01, 1, 0, 0, -1), "leaving"),
    (water.hose_flow, (1e5, 0.01, 1, 0, 0, 1, 0), "density"),
    (water.hose_flow, (1e5, 0.01, 1, 0, 0, 1, 998, 0), "viscosity"),
    (water.hose_age, (date(2025, 1, 1), date(2024, 1, 1)), "made"),
    (water.hose_age, ("2020", date(2024, 1, 1)), "made"),
    (water.hose_age, (date(2020, 1, 1), datetime(2024, 1, 1)), "today"),  # noqa: DTZ001
    (electrical.discharge_time, (0, 1e-6, 325, 50), "resistance"),
    (electrical.discharge_time, (1e6, NAN, 325, 50), "capacitance"),
    (electrical.discharge_time, (1e6, 1e-6, -1, 50), "start"),
    (electrical.discharge_time, (1e6, 1e-6, 325, 0), "safe"),
    (electrical.wait_left, (0, 1, 1, 50), "first"),
    (electrical.wait_left, (325, -1, 1, 50), "second"),
    (electrical.wait_left, (325, 300, 0, 50), "seconds"),
    (electrical.wait_left, (325, 300, 1, 0), "safe"),
    (electrical.plate_resistance, (0, 2000), "volts"),
    (electrical.plate_resistance, (230, NAN), "watts"),
    # ring-down
    (ringdown.log_decrement, ([1],), "peaks"),
    (ringdown.log_decrement, ([],), "peaks"),
    (ringdown.log_decrement, ([1, 0],), "peaks"),
    (ringdown.log_decrement, ([1, -1],), "peaks"),
    (ringdown.log_decrement, ([1, 2],), "peaks"),
    (ringdown.log_decrement, ([1, NAN],), "peaks"),
    (ringdown.coulomb_force, ([1], 1000), "peaks"),
    (ringdown.coulomb_force, ([1, 2], 1000), "peaks"),
    (ringdown.coulomb_force, ([1, -1], 1000), "peaks"),
    (ringdown.coulomb_force, ([2, 1], 0), "stiffness"),
    (ringdown.reversals, (0, 0.1), "start"),
    (ringdown.reversals, (10, 1), "damping_ratio"),
    (ringdown.reversals, (10, -0.1), "damping_ratio"),
    (ringdown.reversals, (10, 0.1, -1), "friction_offset"),
    (ringdown.reversals, (10, 0.1, 0, -1), "least"),
    (ringdown.reversals, (10, 0.1, 0, 0, 0), "most"),
    (ringdown.fit, (TIMES[:7], FALLING[:7]), "time"),
    (ringdown.fit, (TIMES, FALLING[:7]), "displacement"),
    (ringdown.fit, ([0, 1, 2, 3, 3, 5, 6, 7], FALLING), "time"),
    (ringdown.fit, ([0, 2, 1, 3, 4, 5, 6, 7], FALLING), "time"),
    (ringdown.fit, (TIMES, [*FALLING[:7], NAN]), "displacement"),
    (ringdown.fit, (TIMES, [3.0] * 8), "displacement"),
    (ringdown.fit, (TIMES, TIMES), "displacement"),
    (ringdown.fit, (TIMES, [math.exp(-t) for t in TIMES]), "displacement"),
    (ringdown.fit, (FORTY, [math.exp(t) * math.cos(9 * t) for t in FORTY]), "displacement"),
    (ringdown.fit, (FORTY, [float(t == 0.5) for t in FORTY]), "displacement"),
    (ringdown.fit, (FORTY, [math.sin(i * i) for i in range(40)]), "displacement"),
    (ringdown.fit_acceleration, (TIMES, FALLING[:7]), "acceleration"),
    (ringdown.fit_acceleration, ([0, 2, 1, 3, 4, 5, 6, 7], FALLING), "time"),
    (ringdown.fit_acceleration, (TIMES, [3.0] * 8), "acceleration"),
    (ringdown.fit_acceleration, (FORTY, [math.exp(t) * math.cos(9 * t) for t in FORTY]), "acceleration"),
    (settling.alike, (1, 0, 15, 2), "zeta"),
    (settling.alike, (0.1, -1, 15, 2), "friction"),
    (settling.alike, (0.1, 0, NAN, 2), "start"),
    (settling.alike, (0.1, 0, 2, 2), "least"),
    (settling.after_push, (FITTED, 0), "push"),
    (settling.after_push, (FITTED, 0.015, 0.02), "eye"),
]


@pytest.mark.parametrize(
    ("function", "arguments", "name"),
    BAD,
    ids=[f"{f.__name__}-{name}-{i}" for i, (f, _, name) in enumerate(BAD)],
)
def test_bad_input_is_refused_by_name(function, arguments, name):
    """The message begins with the name of the argument at fault and ends in words."""
    with pytest.raises(ValueError, match=rf"^{name}: \S") as caught:
        function(**arguments) if isinstance(arguments, dict) else function(*arguments)
    assert type(caught.value) is ValueError


def test_a_curve_before_its_record_is_refused():
    """The fit says nothing of the time before release."""
    found = ringdown.fit(
        [t / 20 for t in range(40)], [20 * math.exp(-t / 20) * math.cos(t / 2) for t in range(40)]
    )
    with pytest.raises(ValueError, match=r"^time: "):
        ringdown.curve(found, [-0.1])


MODULES = (
    "damping.ringdown damping.settling mechanics.bearings mechanics.dampers mechanics.levelling mechanics.rotating "
    "mechanics.runout mechanics.springs mechanics.walking quantities.rounding quantities.units "
    "uncertainty.conformity uncertainty.propagation uncertainty.reading_doubts water_electrical.electrical "
    "water_electrical.water"
)


def test_no_public_function_is_left_out_of_the_table():
    """Every public function that takes arguments has at least one row."""
    tested = {function for function, *_ in BAD} | {ringdown.curve, walking.at_speed}
    public = {
        function
        for module in map(import_module, (f"wizard.measure.{name}" for name in MODULES.split()))
        for name, function in inspect.getmembers(module, inspect.isfunction)
        if function.__module__ == module.__name__ and not name.startswith("_")
    }
    assert public - tested == set()
    assert all(inspect.getdoc(function) for function in public)
