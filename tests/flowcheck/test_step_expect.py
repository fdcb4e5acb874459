"""What a case expects at steps: what is otherwise is told, at its place; of a step that there isn't, by the form."""

from __future__ import annotations

from typing import Any

import pytest

from tests.helpers.flows.case_dicts import played
from tests.helpers.flows.flow_folders import edited
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.case_builder import build_case, build_cases
from wizard.flow.parsing.encode import encode

PULL = {
    "reach": "inside",
    "cautions": ["caution"],
    "believed": {"front": ["off"]},
    "verdict": "fail",
    "next": "spread",
    "waits": 0,
}
"""What is so when the dampers of the small flow are pulled: 22 N each, below the 30 N of its limit."""


def _at_pull(**expected: Any) -> Any:
    return played(steps={"dampers.pull": expected})


def test_what_is_so_at_a_step_is_met() -> None:
    """The reach, the warnings, what is believed, the verdict and the way on of a step, as the flow has them."""
    assert _at_pull(**PULL).ok, _at_pull(**PULL).problems


@pytest.mark.parametrize(
    ("key", "wrong", "says"),
    [
        ("reach", "talk", "reach is inside, not talk"),
        ("cautions", ["danger"], "cautions is caution, not danger"),
        ("believed", {"front": ["on"]}, "believed is front off, not on"),
        ("leaves", {"front": ["on"]}, "leaves is front off, not on"),
        ("verdict", "pass", "verdict is fail, not pass"),
        ("evidence", {"pull-weak": 0.2}, "evidence is pull-weak 1.00, not 0.20"),
        ("evidence", {"walks": 1.0}, "evidence is walks none, not 1.00"),
        ("next", "end", "next is spread, not end"),
        ("waits", 2.0, "waits is 0.00 minutes, not 2.00"),
    ],
)
def test_what_is_otherwise_at_a_step_is_told(key: str, wrong: object, says: str) -> None:
    """One sentence, and the path of the key in the case."""
    result = _at_pull(**{key: wrong})
    assert result.problems == (f"at dampers.pull {says}.",)
    assert result.unmet == (("steps", "dampers.pull", key),)


def test_a_step_that_is_never_answered_is_told() -> None:
    """What is expected of a step that the job doesn't come to would test nothing."""
    result = played(steps={"quick.bolts": {}, "leave-waiting.tag": {"next": "end"}})
    assert result.problems == ('"leave-waiting.tag" is expected to be seen, and was never answered.',)


def test_parts_that_were_fitted_are_counted() -> None:
    """Three dampers on a machine with three, and what else the remedy names; another number is told."""
    right = played(facts={"kind": "front-loader", "dampers": "3"}, expect={"outcome": "proved"}).parts
    assert right["damper"] == 3
    wrong = played(
        facts={"kind": "front-loader", "dampers": "3"}, expect={"outcome": "proved", "parts": {"damper": 2}}
    )
    assert len(wrong.problems) == 1 and wrong.problems[0].startswith("parts: 3 damper")


def test_a_variant_has_none_of_its_bases_steps() -> None:
    """It goes another way, so that what its base sees says nothing of it; a row has those of its table."""
    base = {
        "id": "base",
        "says": "b",
        "expect": {"outcome": "no-fault"},
        "steps": {"spin.run": {"next": "end"}},
    }
    variant = {"id": "variant", "base": "base", "says": "v"}
    rows = {**base, "id": "table", "columns": ["id"], "rows": [["one"]]}
    found = {case.id: len(case.steps) for case in build_cases({"case": [base, variant, rows]})}
    assert found == {"base": 1, "variant": 0, "table-one": 1}


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('"dampers.pul" = { verdict = "fail" }', 'step "dampers.pul" is not in inspections/'),
        ('"dampers.pull" = { reach = "insid" }', 'reach "insid" is not in library/machine.toml'),
        ('"dampers.pull" = { evidence = { pull-weka = 1 } }', 'finding "pull-weka" is not in findings.toml'),
        ('"dampers.pull" = { believed = { frnot = ["off"] } }', 'condition "frnot" is not in flow.toml'),
        ('"dampers.pull" = { leaves = { front = ["of"] } }', 'condition "front" has no value "of"'),
        ('"dampers.pull" = { next = "sprad" }', 'step "dampers.sprad" is not in inspections/'),
        ('"dampers.pull" = { verdict = "bad" }', "verdict"),
    ],
)
def test_what_a_case_expects_at_steps_is_of_its_flow(line: str, says: str) -> None:
    """A misspelt name would expect nothing: the form tells it, in the file and line of the case."""
    found = examine(edited("cases/worn.toml", "[case.expect]", f"[case.steps]\n{line}\n\n[case.expect]"))
    (problem,) = found.problems
    assert problem.file == "cases/worn.toml" and problem.line == 15 and says in problem.text


def test_none_at_all_is_written_as_that() -> None:
    """No part, no fault confirmed and no warning are expected, where leaving them out expects nothing of them."""
    table = {
        "id": "a",
        "says": "b",
        "expect": {"outcome": "no-fault", "parts": {}, "confirmed": []},
        "steps": {"spin.run": {"cautions": []}},
    }
    assert encode(build_case(table)) == table
