"""Reading what people type, turning it into SI and back, and writing it in either system."""

import math
import re
from functools import cache

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.measure.quantities import units
from wizard.measure.quantities.unit_table import MEANT, METRIC_OF, UNITS, US_OF

SYMBOLS = [unit.symbol for unit in UNITS]

# Source of each: NIST SP 811 (2008), appendix B.8, printed digits (from memory).
NIST = [
    ("in", 0.0254, 0),
    ("ft", 0.3048, 0),
    ("lb", 0.45359237, 0),
    ("oz", 2.834952e-2, 1e-6),
    ("lbf", 4.448222, 1e-6),
    ("kgf", 9.80665, 0),
    ("ozf", 2.780139e-1, 1e-6),
    ("lbf/in", 1.751268e2, 1e-6),
    ("psi", 6.894757e3, 1e-6),
    ("bar", 1e5, 0),
    ("gal", 3.785412e-3, 1e-6),
    ("gal/min", 6.309020e-5, 1e-6),
    ("deg", 1.745329e-2, 1e-6),
    ("g0", 9.80665, 0),
    ("lbf ft", 1.355818, 1e-6),
]

PINT = {
    "in": "inch", "ft": "foot", "um": "micrometer", "mil": "thou", "oz": "ounce", "kgf": "kilogram_force",
    "gf": "gram_force", "lbf": "pound_force", "ozf": "ounce_force", "deg": "degree", "rad": "radian",
    "%": "percent", "kohm": "kiloohm", "Mohm": "megaohm", "mohm": "milliohm", "uF": "microfarad",
    "nF": "nanofarad", "days": "day", "years": "year", "m/s2": "meter/second**2", "g0": "standard_gravity",
    "lbf/in": "pound_force/inch", "kgf/mm": "kilogram_force/millimeter", "N s/m": "newton*second/meter",
    "lbf s/in": "pound_force*second/inch", "L": "liter", "mL": "milliliter", "m3": "meter**3", "gal": "gallon",
    "L/min": "liter/minute", "m3/s": "meter**3/second", "L/h": "liter/hour", "gal/h": "gallon/hour",
    "gal/min": "gallon/minute", "N m": "newton*meter", "lbf ft": "pound_force*foot", "kg m": "kilogram*meter",
    "g mm": "gram*millimeter", "mm/m": "millimeter/meter", "h": "hour", "min": "minute",
}  # fmt: skip
NEEDED = re.findall(
    r"\S+",
    "m mm cm um in ft kg g lb oz N kN kgf lbf deg rad mm/m % V mV ohm kohm Mohm F uF s min h Hz rpm rpm/s "
    "m/s2 g0 N/m N/mm lbf/in Pa kPa bar psi L gal L/min gal/h degC degF count years days J",
)
NOT_IN_PINT = {"1", "count", "turns", "swings", "rpm", "rpm/s", "Hz", "Hz/s", "degC", "degF", "K"}


@pytest.mark.parametrize(
    ("text", "unit", "si"),
    [
        ("3/8", "in", 0.009525),
        ("3/8 in", "mm", 0.009525),
        ("1 1/2 in", "mm", 0.0381),
        ("1 1/2", "in", 0.0381),
        ('1-1/2"', "mm", 0.0381),
        ("1½ in", "mm", 0.0381),
        ("½", "in", 0.0127),
        ("3,4", "mm", 0.0034),
        ("12 mm", "in", 0.012),
        ("12mm", "in", 0.012),
        ("1,234", "mm", 0.001234),
        (".5", "m", 0.5),
        ("5,", "m", 5.0),
        ("5 lbf", "N", 22.2411080763025),
        ("5 ft 3 in", "mm", 1.6002),
        ("5' 3\"", "m", 1.6002),
        ("5 lb 3 oz", "kg", 2.353010419375),
        ("1 min 30 s", "s", 90.0),
        ("-5", "degC", 268.15),
        ("−5 °C", "degF", 268.15),  # noqa: RUF001
        ("32 F", "degC", 273.15),
        ("2 μm", "mm", 2e-6),
        ("3 m/s²", "g0", 3.0),
        ("90 SEC", "s", 90.0),
        ("0.3 Ω", "ohm", 0.3),
        ("2 MΩ", "ohm", 2e6),
        ("60 rpm", "Hz", 1.0),
        ("50 %", "1", 0.5),
        ("1e3", "mm", 1.0),
        ("  7  ", "mm", 0.007),
    ],
)
def test_numbers_are_read_as_people_write_them(text, unit, si):
    """Fractions, mixed numbers, comma or point, a unit or none, typographic signs: all come out in SI."""
    assert units.parse(text, unit) == pytest.approx(si, rel=1e-15)


@pytest.mark.parametrize(
    ("text", "unit", "meant", "si"),
    [
        ("5 kg", "N", "kgf", 49.03325),
        ("5 lb", "N", "lbf", 22.2411080763025),
        ("5 pounds", "N", "lbf", 22.2411080763025),
        ("500 g", "N", "gf", 4.903325),
        ("8 oz", "N", "ozf", 2.224110807630),
        ("0.2 g", "m/s2", "g0", 1.96133),
        ("20 C", "degC", "degC", 293.15),
    ],
)
def test_a_pull_scale_in_kilograms_means_a_force_and_says_so(text, unit, meant, si):
    """Where a force is asked, kg and lb are kgf and lbf, and the entry carries a note for the screen."""
    entry = units.read(text, unit)
    assert (entry.unit, entry.value) == (meant, pytest.approx(si, rel=1e-12))
    assert (meant if meant != "g0" else "gravity, 9.81 m/s2") in entry.note


def test_a_plain_entry_has_no_note_and_keeps_the_unit_typed():
    """'3/8 in' where mm is asked is in inches, with nothing to remark."""
    assert units.read("3/8 in", "mm") == units.TypedQuantity(0.009525, "in", "")
    assert units.read("3", "mm").unit == "mm"


@pytest.mark.parametrize(
    ("text", "unit", "says"),
    [
        ("1,234.5", "m", "two decimal marks"),
        ("1.2.3", "m", "two decimal marks"),
        ("1,2,3", "m", "two decimal marks"),
        ("5 m", "s", "m measures length, but time is asked"),
        ("5 mm", "N", "mm measures length, but force is asked"),
        ("5 kgg", "kg", 'Did you mean "kg"?'),
        ("5 mv", "V", 'Did you mean "mV"?'),
        ("5 MOHM", "ohm", "not a unit known here"),
        ("5/0", "mm", "divide by zero"),
        ("1 200", "m", "two numbers in a row"),
        ("1/2/3", "m", "two numbers in a row"),
        ("1.5 1/2", "m", "two numbers in a row"),
        ("3 in 5 ft", "mm", "larger unit first"),
        ("", "m", "nothing typed"),
        ("-", "m", "nothing typed"),
        ("--5", "m", "no number"),
        ("abc", "mm", "no number"),
        ("nan", "mm", "no number"),
        ("inf", "mm", "no number"),
        ("1e999", "m", "too large"),
    ],
)
def test_what_can_not_be_read_gets_a_clear_word(text, unit, says):
    """The message names the argument, repeats what was typed, and says what is wrong."""
    with pytest.raises(ValueError, match=r"^text: ") as caught:
        units.parse(text, unit)
    assert says in str(caught.value)


@given(st.text(max_size=12), st.sampled_from(SYMBOLS))
def test_any_text_is_read_or_refused_in_words(text, unit):
    """No text makes anything but a finite number or a ValueError naming the text."""
    try:
        assert math.isfinite(units.parse(text, unit))
    except ValueError as error:
        assert str(error).startswith("text: ")


@given(st.floats(-1e9, 1e9), st.sampled_from(SYMBOLS))
def test_there_and_back_is_the_same_number(value, unit):
    """from_si undoes to_si, for a value and for a difference."""
    assert units.from_si(units.to_si(value, unit), unit) == pytest.approx(value, rel=1e-12, abs=1e-9)
    assert units.span_from_si(units.span_to_si(value, unit), unit) == pytest.approx(
        value, rel=1e-15, abs=1e-300
    )


@given(st.decimals(-9999, 9999, places=3), st.sampled_from(SYMBOLS))
def test_typed_and_written_in_a_file_are_the_same_float(number, unit):
    """A limit's edge from a file and the same figures typed agree exactly, so an inclusive edge includes."""
    assert units.parse(f"{number}", unit) == units.to_si(float(number), unit)


@given(st.integers(-9999, 9999))
def test_one_length_in_two_units_is_one_float(number):
    """10 mm and 1 cm are the same float."""
    assert units.to_si(number * 10, "mm") == units.to_si(number, "cm")


@pytest.mark.parametrize(("unit", "factor", "tolerance"), NIST)
def test_factors_are_those_of_nist(unit, factor, tolerance):
    """Source: NIST SP 811, appendix B.8 (from memory)."""
    assert units.to_si(1, unit) == pytest.approx(factor, rel=tolerance or 1e-15)


def test_the_gallon_is_exact():
    """Source: definition, 231 cubic inches; scipy.constants.gallon."""
    from scipy import constants

    assert units.to_si(1, "gal") == 0.003785411784
    assert units.to_si(1, "gal") == pytest.approx(231 * 0.0254**3, rel=1e-15)
    assert units.to_si(1, "gal") == pytest.approx(constants.gallon, rel=1e-15)


@pytest.mark.parametrize(
    "unit", [unit for unit in UNITS if unit.symbol not in NOT_IN_PINT], ids=lambda u: u.symbol
)
def test_factors_agree_with_pint(unit):
    """Source: the registry of pint."""
    quantity = _registry()(PINT.get(unit.symbol, unit.symbol))
    assert units.to_si(1, unit.symbol) == pytest.approx(quantity.to_base_units().magnitude, rel=1e-12)


@cache
def _registry():
    """Return one registry for all tests: it is slow to build."""
    return pytest.importorskip("pint").UnitRegistry()


@pytest.mark.parametrize(("value", "unit"), [(20, "degC"), (-40, "degF"), (212, "degF"), (0, "K")])
def test_temperatures_agree_with_pint(value, unit):
    """Source: pint. Minus 40 is the same on both scales."""
    expected = _registry().Quantity(value, {"K": "kelvin"}.get(unit, unit)).to("kelvin").magnitude
    assert units.to_si(value, unit) == pytest.approx(expected, rel=1e-12)


def test_a_difference_of_temperature_has_no_zero_shift():
    """1 degC is 1 K, and 9 degF are 5 K."""
    assert units.span_to_si(1, "degC") == 1
    assert units.span_to_si(9, "degF") == 5


def test_turning_is_kept_in_turns_a_second():
    """Common practice here: 1200 rpm are 20 Hz, and 15 rpm/s are 0.25 Hz/s."""
    assert units.to_si(1200, "rpm") == 20
    assert units.to_si(15, "rpm/s") == 0.25


def test_a_degree_is_about_seventeen_and_a_half_millimetres_a_metre():
    """Common practice: 1 deg = 17.5 mm/m."""
    assert units.from_si(units.to_si(1, "deg"), "mm/m") == pytest.approx(17.5, abs=0.05)


def test_every_name_means_one_unit():
    """No symbol or other name stands for two units."""
    names = [name for unit in UNITS for name in (unit.symbol, *unit.names)]
    assert len(names) == len(set(names))


def test_capitals_matter_only_where_they_could_mislead():
    """'MM' is millimetres, but a wrong m before V, A or ohm is asked about."""
    assert units.dimension("MM") == "length"
    assert units.dimension("PSI") == "pressure"
    for name in ("mv", "MV", "MA", "MOHM", "mpa"):
        with pytest.raises(ValueError, match=r"^unit: "):
            units.dimension(name)


@pytest.mark.parametrize(
    "unit",
    NEEDED,
)
def test_the_units_the_job_needs_are_known(unit):
    """Each has a dimension, is one of that dimension's units, and one of these is the SI unit."""
    wanted = units.dimension(unit)
    assert unit in units.of_dimension(wanted)
    assert any(units.to_si(1, symbol) == 1 for symbol in units.of_dimension(wanted))


@pytest.mark.parametrize("unit", SYMBOLS)
@pytest.mark.parametrize("system", units.UnitSystem)
def test_a_counterpart_measures_the_same(unit, system):
    """Switching the system never changes the dimension, and switching twice is switching once."""
    other = units.counterpart(unit, system)
    assert units.dimension(other) == units.dimension(unit)
    assert units.counterpart(other, system) == other


def test_the_tables_of_systems_and_habits_name_known_units():
    """Every unit in the side tables is in the main one, and a habit stays within what is asked."""
    for symbol in (*US_OF, *US_OF.values(), *METRIC_OF, *METRIC_OF.values()):
        units.find(symbol)
    for wanted, habits in MEANT.items():
        assert {units.dimension(meant) for meant in habits.values()} == {wanted}


@pytest.mark.parametrize(
    ("value", "unit", "uncertainty", "says"),
    [
        (0.0123, "mm", 0.0004, "12.3 ± 0.4 mm"),
        (0.0123, "in", 0.0004, "0.484 ± 0.016 in"),
        (293.15, "degC", 0.3, "20.0 ± 0.3 degC"),
        (0.012, "mm", 0, "12 mm"),
        (0.0, "mm", 0, "0 mm"),
        (3.0, "count", 0, "3"),
        (20.0, "rpm", 0, "1200 rpm"),
    ],
)
def test_a_value_is_written_with_its_uncertainty(value, unit, uncertainty, says):
    """The value is rounded to the place of its uncertainty, in the unit asked."""
    assert units.text(value, unit, uncertainty) == says


@given(st.floats(1e-6, 1e3), st.sampled_from(["mm", "in", "ft", "um"]))
def test_what_is_written_is_read_back(value, unit):
    """Six figures survive being shown and typed again."""
    assert units.parse(units.text(value, unit), unit) == pytest.approx(value, rel=1e-5)


@pytest.mark.parametrize(
    ("value", "unit", "uncertainty", "shown"),
    [
        (52.1866, "N", 0.0, "52.2 N"),
        (52.1866, "N", 1.0, "52.2 N"),
        (0.374477, "s", 0.02, "0.374 s"),
        (0.374477, "s", 0.03, "0.37 s"),
        (-0.0014, "in", 0.00001, "-0.0551 in"),
        (527.66e-6, "gal/h", 0.0, "502 gal/h"),
        (2.0, "1", 0.0, "2"),
    ],
)
def test_what_is_computed_is_shown_brief(value, unit, uncertainty, shown):
    """As many figures as its uncertainty carries (GUM, 7.2.6), else three: never six."""
    assert units.brief(value, unit, uncertainty) == shown


@pytest.mark.parametrize(
    "text", ["9" * 5000, "1." + "3" * 5000, "1/" + "9" * 5000, "9" * 200, "x" * 3000, "5 " + "y" * 900]
)
def test_what_is_far_too_long_is_refused_in_short_words(text):
    """A key that stuck, or a file pasted: said in our own words, quoted by its beginning."""
    with pytest.raises(ValueError, match=r"^text: ") as problem:
        units.parse(text, "mm")
    assert len(str(problem.value)) < 200 and "sys." not in str(problem.value)
