"""Rims, play, swings and feet as lines of text: what is seen is what was measured."""

from __future__ import annotations

import math

import numpy as np
import pytest

from wizard.documents.charts import decay_chart, foot_plan, play_chart
from wizard.documents.charts.dial import dial
from wizard.measure.damping import ringdown as decay

CRACKED = [x / 1000 for x in (0.2, 0.3, 1.0, 2.6, 3.0, 2.2, 0.9, 0.3)]


def places(rows, mark: str) -> list[tuple[int, int]]:
    """(column, row) of a mark, the scale at the left taken off."""
    cut = [row.partition("|")[2] if "|" in row else row for row in rows]
    return [(c, r) for r, row in enumerate(cut) for c, character in enumerate(row) if character == mark]


def test_a_rim_is_drawn_by_the_clock() -> None:
    """Four hours at the four sides, eight readings, and in words what they range over."""
    rows = dial(CRACKED, "mm").rows
    assert rows[0].strip() == "12" and rows[14].strip() == "6"
    middle = next(r for r in rows if "9" in r and "3" in r)
    assert middle.index("9") < middle.index("3")
    assert len(places(rows[:-1], "●")) == 8
    assert rows[-1] == "0.2 mm to 3 mm, range 2.8 mm"


def test_a_larger_reading_stands_further_out() -> None:
    """Largest at 6 o'clock: that mark is further from the middle than the one at 12."""
    marks = places(dial(CRACKED, "mm").rows[:-1], "●")
    centre = 7
    assert max(r for _c, r in marks) - centre > centre - min(r for _c, r in marks)


def test_the_picture_grows_with_the_readings() -> None:
    """Places to come are small dots; each reading turns one into a mark."""
    for count in range(9):
        rows = dial([*CRACKED[:count], *[None] * (8 - count)], "mm", plain=True).rows
        assert "".join(rows[:-1]).count("o") == count
    assert dial([None] * 8, "mm").rows[-1] == "Nothing read yet."


def test_a_true_rim_is_a_ring() -> None:
    """All the same: the marks lie on one circle, and nothing divides by nothing."""
    rows = dial([0.002] * 12, "mm").rows
    assert len(places(rows[:-1], "●")) == 12 and rows[-1].endswith("range 0 mm")


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_the_words_are_in_the_unit_asked_for(unit: str) -> None:
    """The same rim in millimetres or inches."""
    assert f" {unit}," in dial(CRACKED, unit).rows[-1]


def test_the_words_have_as_many_figures_as_the_dial() -> None:
    """A dial good to 0.05 mm, 0.0020 in: ten-thousandths of an inch; where it isn't known, three figures."""
    assert dial(CRACKED, "in", uncertainty=5e-5).rows[-1] == "0.0079 in to 0.1181 in, range 0.1102 in"
    rough = dial([0.0014, -0.0014, 0.0003, 0.0], "in").rows[-1]
    assert rough == "-0.0551 in to 0.0551 in, range 0.11 in"


@pytest.mark.parametrize(
    ("chance", "words"),
    [(0.07, "7 times in 100"), (0.0104, "1 time in 100"), (0.005, "5 times in 1000"), (0.0011, "1 time in 1000"),
     (0.0004, "under 1 time in 1000"), (1.0, "100 times in 100")],
)  # fmt: skip
def test_a_chance_is_said_in_whole_times(chance: float, words: str) -> None:
    """One time, several times, or less than once."""
    assert play_chart.times(chance) == words


def test_play_that_varies_shows_its_wave() -> None:
    """A reading at both ends (the first again after a turn), the wave, and the verdict in words."""
    rows = play_chart.play_chart(CRACKED, "mm", 5e-5).rows
    assert len(places(rows[:-2], "●")) == 9
    assert rows[-1].startswith("Varies by 2.80 mm") and "under 1 time in 1000." in rows[-1]
    assert rows[-2].split() == ["12", "3", "6", "9", "12"]


def test_play_that_is_even_shows_a_level() -> None:
    """The line through even play is level: all its dots in one row of characters."""
    rows = play_chart.play_chart([0.0027] * 8, "mm", 0.0).rows
    assert rows[-1].startswith("Even, 2.7 mm all round")
    drawn = {r for r, row in enumerate(rows[:-2]) if any(0x2800 < ord(c) < 0x2900 for c in row)}
    assert len(drawn) == 1


def test_the_hours_stand_under_their_readings() -> None:
    """The mark at 6 o'clock (half-way) is above the 6."""
    rows = play_chart.play_chart(CRACKED, "mm", 5e-5).rows
    wide = rows[0].index("|") + 1
    at = min(places(rows[:-2], "●"), key=lambda p: abs(p[0] - 24))
    assert abs((rows[-2].index("6") - wide) - at[0]) <= 1


def test_swings_and_their_decay() -> None:
    """Heights that halve lie on the curve: damping ratio 0.11 (Thomson, 2.7), each swing 50 % of the one before."""
    rows = decay_chart.peaks([0.016, 0.008, 0.004], 0.4).rows
    assert len(places(rows[:-2], "●")) == 3
    assert "damping ratio 0.11" in rows[-1] and "50%" in rows[-1]


@pytest.mark.parametrize("heights", [[0.03, 0.03], [0.03, 0.03, 0.03], [0.1, 0.1, 0.1, 0.1, 0.1]])
def test_swings_that_stay_as_high_show_no_loss_and_no_ratio(heights) -> None:
    """Equal heights don't mean a damping ratio of nothing: no loss was seen, and that is what is said."""
    rows = decay_chart.peaks(heights, 0.4).rows
    assert rows[-1] == f"{len(heights)} heights, 0.4 s each: no loss seen, the swings stay as high."


def test_the_least_fall_has_its_ratio() -> None:
    """A tenth of a millimetre in 30 is a loss: ln(300 / 299) / 2 pi (Thomson, 2.7, small damping)."""
    assert (
        f"damping ratio {math.log(300 / 299) / math.tau:.2g},"
        in decay_chart.peaks([0.03, 0.0299], 0.4).rows[-1]
    )


def test_swings_that_grow_are_no_decay() -> None:
    """Said by the argument's name."""
    with pytest.raises(ValueError, match="peaks: grow"):
        decay_chart.peaks([0.004, 0.008], 0.4)


def test_a_record_with_its_fit() -> None:
    """A made decay of 2.7 Hz and 0.1: the words give both back, and the curve runs through the marks."""
    time = np.linspace(0, 2, 100)
    shift = 0.015 * np.exp(-0.1 * math.tau * 2.7 * time) * np.cos(math.tau * 2.7 * math.sqrt(1 - 0.01) * time)
    fit = decay.fit(time, shift)
    rows = decay_chart.record(list(time), list(shift), fit).rows
    assert rows[-1].startswith("Fluid damping: 2.7") and "damping ratio 0.1" in rows[-1]
    assert len(places(rows[:-2], "•")) > 40


@pytest.mark.parametrize(
    ("turns", "words"),
    [(1.26, "1 1/4 out"), (-0.4, "3/8 in"), (0.02, "leave"), (2.0, "2 out"), (-0.97, "1 in"), (0.0, "leave")],
)
def test_turns_are_said_to_an_eighth(turns: float, words: str) -> None:
    """As a spanner is turned."""
    assert foot_plan.turn_words(turns) == words


def test_the_feet_from_above() -> None:
    """The front is at the bottom, left is left; a foot that isn't turned sets itself."""
    rows = foot_plan.turns({"front left": 1.25, "front right": -0.5}).rows
    text = "\n".join(rows)
    front = next(r for r in rows if "1 1/4 out" in r)
    assert front.index("1 1/4 out") < front.index("1/2 in")
    assert rows.index(front) > next(n for n, r in enumerate(rows) if "sets itself" in r)
    assert text.count("sets itself") == 2


@pytest.mark.parametrize(
    "rows",
    [
        dial(CRACKED, "mm", plain=True).rows,
        play_chart.play_chart(CRACKED, "mm", 5e-5, plain=True).rows,
        decay_chart.peaks([0.016, 0.008], 0.4, plain=True).rows,
        foot_plan.turns({"front left": 1.0}, plain=True).rows,
    ],
)
def test_plain_pictures_fit_and_are_ascii(rows) -> None:
    """In ASCII for any printer, and no wider than 78 columns."""
    assert all(row.isascii() and len(row) <= 78 for row in rows)
