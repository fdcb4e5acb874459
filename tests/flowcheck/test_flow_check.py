"""A flow checked whole: form first, then proofs, then cases if asked; every rule explained."""

from __future__ import annotations

import pytest

from tests.flowcheck.test_proofs_broken import EXPECTED
from tests.helpers.flows.flow_folders import edited, good
from wizard.errors import UsageError
from wizard.flow.authoring.scaffold import new
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.parsing.flow_files import read_folder, read_library
from wizard.flow.problems import Problem
from wizard.flowcheck.flow_check import check
from wizard.flowcheck.rule_catalogue import PROVES, explain, rules

TRAP = next(e for e in EXPECTED if e.broken.name == "undo-each-other")


def test_form_comes_first() -> None:
    """With an error of form nothing is proved, and that is said."""
    found = check(edited("inspections/dampers.toml", "minutes = 20", "minuts = 20"))
    assert not found.proved and not found.sound and found.problems
    assert found.counts.needs == 0


def test_proofs_come_with_the_form() -> None:
    """A sound form with a trap in it: the problem is among the others, and the flow isn't sound."""
    found = check(TRAP.files())
    assert found.proved and not found.sound
    assert [p.rule for p in found.problems if p.severity == "error"] == ["way"]


def test_cases_are_played_when_asked() -> None:
    """Cases are counted always, and played with what they cover only when asked."""
    quick = check(good())
    assert quick.sound and quick.cases == 2 and quick.played == () and quick.coverage is None
    whole = check(good(), play=True)
    assert [p.ok for p in whole.played] == [True, True]
    assert whole.coverage is not None and whole.counts == quick.counts


def test_case_that_fails_makes_a_flow_unsound() -> None:
    """A case that ends otherwise than it says is an error at the expectation that isn't met."""
    files = edited("cases/worn.toml", 'outcome = "proved"', 'outcome = "declined"')
    found = check(files, play=True)
    (wrong,) = [p for p in found.problems if p.rule == "played" and p.file == "cases/worn.toml"]
    assert wrong.severity == "error"
    assert line_of(files, wrong).startswith('outcome = "declined"')


def line_of(files: dict[str, bytes], problem: Problem) -> str:
    """The text of a problem's line, from its column back to the key."""
    return files[problem.file].decode().splitlines()[problem.line - 1]


@pytest.mark.parametrize("name", sorted(shipped()))
def test_shipped_flows_are_proved(name: str) -> None:
    """Every shipped flow is sound, form and proofs."""
    found = check(read_folder(shipped()[name]))
    assert found.sound, "\n".join(map(str, found.problems))


@pytest.mark.parametrize("rule", rules())
def test_every_rule_is_explained(rule: str) -> None:
    """What it proves, and an example that breaks and mends it."""
    told = explain(rule)
    assert told.proves.endswith(".") and told.example
    assert bool(told.why) == (rule in PROVES)


def test_rule_that_isnt_there() -> None:
    """The nearest name is said."""
    with pytest.raises(UsageError, match='Did you mean "barred"'):
        explain("bared")


def test_new_flow_is_proved() -> None:
    """What a trainer begins from passes everything, its cases too."""
    made = new("own-flow", "Own", "It makes a noise.", {"small": "Small", "large": "Large"})
    found = check({**made, **read_library()}, play=True)
    assert found.sound, "\n".join(map(str, found.problems))
    assert all(p.ok for p in found.played) and found.cases > 0
