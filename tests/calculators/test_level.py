"""Calculators of feet and corners, against worked geometry and the trade's figures for one turn."""

from __future__ import annotations

import math

import pytest

from wizard.calculators import CALCULATORS
from wizard.calculators.values import Value

DEG = math.radians(1)
CORNERS = ("front left", "front right", "rear left", "rear right")


def slopes(side: tuple[float, float], front: tuple[float, float], u: float = 0.0) -> list[Value]:
    """Readings in degrees: as laid and turned round, side to side and front to back."""
    rows = (("side to side", side), ("front to back", front))
    return [
        Value(f"{name}, {way}", pair[way] * DEG, u * DEG, item, way, name)
        for item, (name, pair) in enumerate(rows)
        for way in (0, 1)
    ]


def span(width: float = 0.52, depth: float = 0.48) -> list[Value]:
    return [Value("left to right", width, 0.0005), Value("front to back", depth, 0.0005, 1)]


def gaps(*millimetres: float, u: float = 0.0) -> list[Value]:
    return [
        Value(name, mm / 1000, u / 1000, n)
        for n, (name, mm) in enumerate(zip(CORNERS, millimetres, strict=True))
    ]


def turns(inputs, pitch: float = 0.0015, rear: float = 0.0) -> dict[str, float]:
    found = CALCULATORS["foot-turns"].compute(inputs, {"thread": pitch, "rear": rear})
    return {v.name: v.mean for v in found}


def test_turning_the_tool_round_takes_its_own_error_out() -> None:
    """A level that shows 0.4 deg too much reads 1.1 and -0.3 on a slope of 0.7 deg (read, turn, read)."""
    side, front = CALCULATORS["turned-slope"].compute({"slopes": slopes((1.1, -0.3), (0.2, 0.6))}, {})
    assert side.mean == pytest.approx(0.7 * DEG) and side.says == "the right is high"
    assert front.mean == pytest.approx(0.2 * DEG) and front.says == "the rear is high"


def test_a_pair_turned_round_is_as_good_as_the_trade_says() -> None:
    """0.2 deg a reading gives 0.14 deg a pair: about the 0.15 deg that practice gives it (estimate)."""
    side, _front = CALCULATORS["turned-slope"].compute({"slopes": slopes((1, -1), (0, 0), 0.2)}, {})
    assert side.uncertainty / DEG == pytest.approx(0.1414, abs=1e-4)


def test_one_way_alone_is_no_pair() -> None:
    """A slope read once only can't be told from the tool's own error."""
    with pytest.raises(ValueError, match="readings: one direction"):
        CALCULATORS["turned-slope"].compute({"slopes": slopes((1, 1), (0, 0))[:3]}, {})


@pytest.mark.parametrize(
    ("pitch", "degrees"),
    [(0.00125, 0.14), (0.0015, 0.165), (0.00175, 0.19), (0.0254 / 18, 0.155), (0.0254 / 16, 0.175)],
)
def test_one_turn_levels_what_the_trade_says_it_does(pitch: float, degrees: float) -> None:
    """Over a 520 mm span one turn is 0.14, 0.165, 0.19, 0.155, 0.175 deg by thread (worked from the standards)."""
    given = turns({"slopes": slopes((degrees, -degrees), (0, 0)), "span": span()}, pitch)
    assert given["front left"] == pytest.approx(1.0, abs=0.02)
    assert given["front right"] == pytest.approx(0.0, abs=1e-9)


def test_the_threads_are_the_standards() -> None:
    """ISO 261 coarse pitches 1.25, 1.5, 1.75 mm; ASME B1.1 UNC 18, 16, 13 threads an inch."""
    from wizard.calculators.level import THREADS

    assert {k: round(v * 1000, 4) for k, v in THREADS.items()} == {
        "m8": 1.25, "m10": 1.5, "m12": 1.75, "in-5-16": 1.4111, "in-3-8": 1.5875, "in-1-2": 1.9538,
    }  # fmt: skip


def test_turns_level_the_machine() -> None:
    """After the turns every foot's tip lies in the level plane: checked by the plane itself, not by the formula."""
    side, front = 0.8 * DEG, -0.5 * DEG
    given = turns({"slopes": slopes((0.8, -0.8), (-0.5, 0.5)), "span": span()})
    corners = {"front left": (-1, 1), "front right": (1, 1), "rear left": (-1, -1), "rear right": (1, -1)}
    heights = [
        x * 0.26 * math.tan(side) + y * 0.24 * math.tan(front) + given[foot] * 0.0015
        for foot, (x, y) in corners.items()
    ]
    assert max(heights) - min(heights) < 1e-9
    assert min(given.values()) == pytest.approx(0.0, abs=1e-9)


def test_self_adjusting_rear_feet_are_left_out() -> None:
    """With linked rear feet only the front ones are set, and a side slope is taken out by them alone."""
    given = turns({"slopes": slopes((0.5, -0.5), (0, 0)), "span": span()}, rear=1.0)
    assert set(given) == {"front left", "front right"}
    assert given["front left"] - given["front right"] == pytest.approx(0.52 * math.tan(0.5 * DEG) / 0.0015)


def test_a_loose_foot_gets_its_gap() -> None:
    """On a level machine with 1.5 mm under the rear left, that foot needs one turn of M10 more than the others."""
    given = turns({"slopes": slopes((0, 0), (0, 0)), "span": span(), "rock": gaps(0, 0, 1.5, 0.1)})
    assert given["rear left"] == pytest.approx(1.0)
    assert max(abs(given[f]) for f in ("front left", "front right", "rear right")) < 1e-9


def test_rubber_that_gives_is_no_rock() -> None:
    """0.2 mm under every foot asks for no turn."""
    given = turns({"slopes": slopes((0, 0), (0, 0)), "span": span(), "rock": gaps(0.2, 0.1, 0.2, 0.2)})
    assert max(map(abs, given.values())) < 1e-9


def test_turns_say_which_way() -> None:
    """Up is said as screwing out; what is under a sixteenth of a turn is left."""
    found = CALCULATORS["foot-turns"].compute(
        {"slopes": slopes((0.5, -0.5), (0, 0)), "span": span()}, {"thread": 0.0015, "rear": 0.0}
    )
    says = {v.name: v.says for v in found}
    assert says["front left"].startswith("screw it out") and says["front right"] == "leave it"


def test_a_tub_leans_to_the_corner_with_the_larger_gap() -> None:
    """Gaps of 76 mm at the right and 60 at the left over 500 mm: it hangs 1.83 deg low at the right."""
    found = CALCULATORS["corner-lean"].compute(
        {"gaps": gaps(60, 76, 60, 76, u=0.3)}, {"width": 0.5, "depth": 0.5}
    )
    side, front = found
    assert side.mean == pytest.approx(math.atan2(16, 500)) and side.says == "the right hangs low"
    assert front.mean == pytest.approx(0.0) and side.uncertainty == pytest.approx(0.3 / 500)


def test_one_low_corner_twists_the_tub() -> None:
    """Three corners at 60 mm and one at 76: half of the 16 mm is twist, and the corner is named."""
    (twist,) = CALCULATORS["corner-twist"].compute({"gaps": gaps(60, 60, 76, 60)}, {})
    assert twist.mean == pytest.approx(0.008) and twist.says == "lowest at the rear left"


def test_a_lean_alone_is_no_twist() -> None:
    """A tub that leans evenly has no twist."""
    (twist,) = CALCULATORS["corner-twist"].compute({"gaps": gaps(60, 76, 60, 76)}, {})
    assert twist.mean == pytest.approx(0.0, abs=1e-12)


def floor(out: tuple[float, ...], tilt: tuple[float, float] = (0.0, 0.0)) -> dict[str, Value]:
    inputs = {"out": gaps(*out, u=0.5), "slopes": slopes((tilt[0], -tilt[0]), (tilt[1], -tilt[1]))}
    found = CALCULATORS["floor-fall"].compute(inputs, {"width": 0.52, "depth": 0.48})
    return {v.name: v for v in found}


def test_feet_out_on_one_side_tell_how_the_floor_falls() -> None:
    """A level machine with its right feet 8 mm further out stands on a floor that falls by 8 mm to the right."""
    found = floor((12, 20, 12, 20))
    assert (
        found["side to side"].mean == pytest.approx(0.008)
        and found["side to side"].says == "the left is high"
    )
    assert found["front to back"].mean == pytest.approx(0) and found[
        "side to side"
    ].uncertainty == pytest.approx(5e-4)


def test_a_machine_that_slopes_with_its_floor() -> None:
    """All feet alike and the machine 1 deg high at the front: 8.4 mm on 480 mm, worked by hand; feet make up for
    it.
    """
    found = floor((12, 12, 12, 12), (0.0, 1.0))
    assert found["front to back"].mean == pytest.approx(0.48 * math.tan(math.radians(1)))
    assert found["front to back"].says == "the front is high"
    rise = 480 * math.tan(math.radians(1))
    level = floor((12, 12, 12 + rise, 12 + rise), (0.0, -1.0))["front to back"]
    assert level.mean == pytest.approx(0, abs=1e-9)


def test_a_hollow_under_one_foot_shows_beside_the_fall() -> None:
    """One foot 4 mm further out than a plane would have it: its place lies 4 mm off the other three."""
    assert floor((16, 12, 12, 12))["one foot's place off the rest"].mean == pytest.approx(0.004)
