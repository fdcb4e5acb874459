"""Several cases in a file: variants of a base, and tables of rows."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from wizard.domain.references import StepRef
from wizard.flow.parsing.case_builder import build_cases
from wizard.flow.parsing.case_variants import WholeCase, expand

FILE = """
[[case]]
id = "worn"
says = "Worn dampers"
confirm = ["dampers-worn"]
facts = { kind = "front-loader", dampers = "3" }
expect = { top = "dampers-worn", outcome = "proved" }

[case.answers]
"dampers.bounce" = "swings"
"dampers.pull" = 22.0

[[case.attempt]]
at = "isolate.press"
kind = "skip"
refused = "late"

[[case]]
id = "worn-unseen"
base = "worn"
says = "They are not bounced"
attempt = []
facts = { dampers = "2" }
answers = { "dampers.bounce" = { usual = true }, "motor.signs" = "none" }
expect = { debts = [] }

[[case]]
id = "few"
base = "worn-unseen"
columns = ["id", "says", "facts.dampers", "answers.dampers.pull", "expect.top"]
rows = [
    ["two", "Two of them", "2", [20.0, 21.0], ""],
    ["four", "", "", { unable = "No scale" }, "wiring"],
]
"""


def whole(text: str = FILE) -> dict[str, WholeCase]:
    """The cases of a text, by id."""
    found = expand(tomllib.loads(text))
    assert found.misfits == []
    return {case.name: case for case in found.cases}


def test_a_variant_has_all_that_its_base_has_but_what_it_says() -> None:
    """Tables are added to key by key, all else takes its base's place; an answer may be taken away."""
    found = whole()["worn-unseen"].table
    assert found["facts"] == {"kind": "front-loader", "dampers": "2"}
    assert found["answers"] == {"dampers.pull": 22.0, "motor.signs": "none"}
    assert found["expect"] == {"top": "dampers-worn", "outcome": "proved", "debts": []}
    assert (found["says"], found["attempt"], found["confirm"]) == (
        "They are not bounced",
        [],
        ["dampers-worn"],
    )
    assert "base" not in found and whole()["worn"].table["answers"]["dampers.bounce"] == "swings"


def test_each_row_is_a_case() -> None:
    """Its id goes behind the table's; an empty cell leaves what the table says."""
    two, four = whole()["few-two"].table, whole()["few-four"].table
    assert (two["says"], two["facts"]["dampers"], two["answers"]["dampers.pull"]) == (
        "Two of them",
        "2",
        [20, 21],
    )
    assert (two["expect"]["top"], four["expect"]["top"]) == ("dampers-worn", "wiring")
    assert (four["says"], four["answers"]["dampers.pull"]) == ("They are not bounced", {"unable": "No scale"})
    assert "few" not in whole()


@pytest.mark.parametrize(
    ("case", "keys", "place"),
    [
        ("worn", ("answers", "dampers.pull"), ("case", 0, "answers", "dampers.pull")),
        ("worn-unseen", ("answers", "dampers.pull"), ("case", 0, "answers", "dampers.pull")),
        ("worn-unseen", ("answers", "motor.signs"), ("case", 1, "answers", "motor.signs")),
        ("worn-unseen", ("confirm", 0), ("case", 0, "confirm", 0)),
        ("few-two", ("answers", "dampers.pull", 1), ("case", 2, "rows", 0, 3, 1)),
        ("few-two", ("expect", "top"), ("case", 0, "expect", "top")),
        ("few-four", ("expect", "top"), ("case", 2, "rows", 1, 4)),
        ("few-four", ("expect", "debts"), ("case", 1, "expect", "debts")),
        ("few-four", ("id",), ("case", 2, "rows", 1, 0)),
        ("few-four", ("skip",), ("case", 2, "rows", 1, "skip")),
    ],
)
def test_what_is_written_is_placed_where_it_was_written(case: str, keys: Any, place: Any) -> None:
    """In the variant, in its base or in a cell; what nobody wrote, at the case itself."""
    assert whole()[case].at(keys) == place


def test_own_answers_are_those_that_a_base_does_not_have() -> None:
    """A case must ask for what is written for it, not for what it has of its base."""
    found = {case.id: case.own for case in build_cases(tomllib.loads(FILE))}
    assert found["worn"] == {
        ("answers", StepRef("dampers", "bounce")),
        ("answers", StepRef("dampers", "pull")),
    }
    assert found["worn-unseen"] == {("answers", StepRef("motor", "signs"))}
    assert found["few-two"] == {("answers", StepRef("dampers", "pull"))}


def test_what_a_table_says_for_all_its_rows_is_their_own() -> None:
    """The head of a table without a base stands for each of its rows."""
    text = '[[case]]\nid = "a"\nsays = "A"\nexpect = { outcome = "proved" }\nanswers = { "x.y" = 1 }\n'
    (one,) = build_cases(tomllib.loads(f'{text}columns = ["id", "answers.x.z"]\nrows = [["b", "no"]]\n'))
    assert one.own == {("answers", StepRef("x", "y")), ("answers", StepRef("x", "z"))}


def test_a_base_may_be_a_row() -> None:
    """Rows are cases like others: what follows may be a variant of one."""
    found = whole(f'{FILE}\n[[case]]\nid = "last"\nbase = "few-two"\n')
    assert found["last"].table["answers"]["dampers.pull"] == [20.0, 21.0]
