"""What is asked and said about a number before and after it is taken."""

from __future__ import annotations

import pytest

from wizard.domain.vocabulary import LimitStatus, Verdict
from wizard.engine.measuring.judging import Judged, Slot, against
from wizard.engine.state.job_state import ReadingRecord
from wizard.flow.model import Band, Limit, Reading, Tool
from wizard.measure.uncertainty import conformity
from wizard.screens.viewmodels.reading import reading_questions

RULE = Tool(id="rule", says="Steel rule", unit="mm", resolution=0.0005, uncertainty=0.0003)
PULL = Reading("mm", 0.0, 0.3, "rule", places=("left", "right"), repeats=3)
LIMIT = Limit(
    id="gap", says="Gap", unit="mm",
    bands=(Band(id="good", verdict=Verdict.PASS, up_to=0.010), Band(id="wide", verdict=Verdict.FAIL)),
    source="Invented for the tests", status=LimitStatus.ESTIMATE,
)  # fmt: skip


def taken(*values: float, item: int = 0) -> list[ReadingRecord]:
    """Readings in mm of one item, in order."""
    return [
        ReadingRecord(n + 1, "", 1, 1, "i", "s", "before", item, 0, n, v / 1000, f"{v}", "mm", "rule", "")
        for n, v in enumerate(values)
    ]


def judged(rows: list[ReadingRecord]) -> list[Judged]:
    """What the engine would make of them."""
    found = []
    for item in sorted({t.item for t in rows}):
        both = conformity.combine(
            [t.value for t in rows if t.item == item], RULE.resolution, RULE.uncertainty
        )
        found.append(against(PULL.places[item], both.mean, both.uncertainty, both.count, LIMIT))
    return found


def ask(text: str, rows=(), repeat: int = 0, unit: str = "mm") -> tuple[str, ...]:
    return reading_questions.questions(PULL, RULE, rows, Slot(0, 0, repeat), text, unit)


def test_a_reading_on_a_mark_of_the_tool_is_not_asked_about() -> None:
    """10.5 mm on a rule of 0.5 mm."""
    assert ask("10.5") == ()


def test_a_reading_finer_than_the_tool_is_asked_about() -> None:
    """10.3 mm lies between its marks; the question names the tool's step."""
    (question,) = ask("10.3")
    assert "10.3 mm" in question and "0.5 mm" in question and question.endswith("?")


@pytest.mark.parametrize(
    "text", ["3/8 in", "0.4 in", "1/64 in", "1 3/32 in", "0.375 in", ".015625 in", "1.05 cm"]
)
def test_another_unit_has_other_marks(text: str) -> None:
    """A reading in inches is not held against the marks of a millimetre rule: parts of two are its own marks."""
    assert ask(text) == ()


@pytest.mark.parametrize(
    ("text", "unit"), [("0.4123 in", "mm"), (".4123", "in"), ("0,4123", "in"), ("1.043 cm", "mm")]
)
def test_decimals_of_another_unit_claim_as_much(text: str, unit: str) -> None:
    """A ten-thousandth of an inch is 0.00254 mm, finer than a rule of 0.5 mm; so is a hundredth of a millimetre."""
    (question,) = ask(text, unit=unit)
    assert "finer than the tool's" in question
    assert ("0.4123 in" in question and "0.0197 in" in question) or "0.05 cm" in question


def test_a_question_is_in_the_unit_that_was_typed() -> None:
    """Of repeats in millimetres too: after 10, 10 and 10.5 mm, 2 in is far from 0.394 in."""
    (question,) = ask("2 in", taken(10, 10, 10.5), repeat=3)
    assert question.startswith("2 in is far from its repeats, near 0.394 in")


def test_a_reading_far_from_its_repeats_is_asked_about() -> None:
    """After 10, 10 and 10.5: 55 is far, 11 is not."""
    rows = taken(10, 10, 10.5)
    (question,) = ask("55", rows, 3)
    assert "far from its repeats" in question
    assert ask("11", rows, 3) == ()


def test_only_the_new_reading_is_asked_about() -> None:
    """An odd one taken before, with its question answered then, is not asked about again."""
    assert ask("10", taken(10, 10, 55), 3) == ()


def test_other_items_are_no_repeats() -> None:
    """The right side may differ from the left as it likes."""
    assert ask("55", taken(10, 10, 10, item=1), 0) == ()


def test_what_can_t_be_read_is_the_engine_s_to_refuse() -> None:
    """No question, so that the refusal is heard."""
    assert ask("10x") == () and reading_questions.note("10x", "N") == ""


def test_a_mass_read_as_a_force_is_noted() -> None:
    """kg where N is asked."""
    assert reading_questions.note("6 kg", "N") == "kg read as kgf"
    assert reading_questions.note("0.2 g", "m/s2") == "g read as gravity, 9.81 m/s2"
    assert reading_questions.note("6", "N") == ""


def test_one_more_reading_is_said_for_the_item_least_sure() -> None:
    """Left is clear of its limit, right lies on it: the right one is named, with what its spread would become."""
    rows = [*taken(2, 2, 2), *taken(9, 10, 11, item=1)]
    said = reading_questions.one_more(RULE, LIMIT, rows, judged(rows))
    assert said.startswith("right: One more reading narrows it by")


def test_one_more_reading_that_changes_nothing_says_so() -> None:
    """Three alike: the tool decides."""
    rows = taken(9.5, 9.5, 9.5)
    assert "changes nothing" in reading_questions.one_more(RULE, LIMIT, rows, judged(rows))


def test_without_a_limit_nothing_is_said() -> None:
    """Nothing judges it."""
    rows = taken(9.5, 9.5)
    assert reading_questions.one_more(RULE, None, rows, judged(rows)) == ""
    assert reading_questions.one_more(RULE, LIMIT, [], []) == ""


def test_one_more_is_of_the_item_least_sure_after_its_repeats() -> None:
    """The fourth reading of the right side; then the fifth."""
    rows = [*taken(2, 2, 2), *taken(9, 10, 11, item=1)]
    assert reading_questions.again(PULL, rows, judged(rows)) == Slot(1, 0, 3)
    rows = [*taken(2, 2, 2), *taken(9, 10, 11, 10, item=1)]
    assert reading_questions.again(PULL, rows, judged(rows)) == Slot(1, 0, 4)
    assert reading_questions.again(PULL, [], []) is None


def test_without_a_limit_one_more_is_of_the_last_item() -> None:
    """Where nothing is judged."""
    rows = taken(2, 2, 2)
    assert reading_questions.again(PULL, rows, [Judged("left", 0.002, 0.0, 3)]) == Slot(0, 0, 3)


def test_the_table_has_a_column_for_each_reading_there_is() -> None:
    """Three repeats are asked, a fourth was taken, and inches are shown."""
    shown = reading_questions.as_shown(PULL, "in", taken(1, 2, 3, 4), None)
    assert (shown.repeats, shown.unit) == (4, "in")
    assert reading_questions.as_shown(PULL, "mm", taken(1, 2, 3), Slot(0, 0, 3)).repeats == 4
