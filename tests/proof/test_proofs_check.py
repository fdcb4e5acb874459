"""A flow checked whole: form first, then proofs, then cases if asked; every rule explained."""

from __future__ import annotations

import pytest

from tests.flow.folders import edited, good
from wizard.errors import UsageError
from wizard.flow.files import read_folder
from wizard.flow.new import new
from wizard.flow.problems import Problem
from wizard.flow.shipped import shipped
from wizard.proof.check import check
from wizard.proof.explain import PROVES, explain, rules

BAD = ("inspections/isolate.toml", 'then = "stop:not-ready"', 'then = "taps"')


def test_form_comes_first() -> None:
    """With an error of form nothing is proved, and that is said."""
    found = check(edited("inspections/dampers.toml", "minutes = 20", "minuts = 20"))
    assert not found.proved and not found.sound and found.problems


def test_proofs_come_with_the_form() -> None:
    """A sound form whose gate can be passed: the problem is among the others, and the flow isn't sound."""
    found = check(edited(*BAD))
    assert found.proved and not found.sound
    assert [p.rule for p in found.problems if p.severity == "error"] == ["passed"]


def test_a_warning_of_the_form_and_a_proof_stand_together() -> None:
    """A look with neither answer marked: the form warns of it, the proof sees both pass the gate, each at its place."""
    found = check(edited("inspections/isolate.toml", 'id = "no"\nusual = true', 'id = "no"'))
    said = [(p.line, p.severity, p.rule) for p in found.problems if p.rule in ("usual", "passed")]
    assert {(severity, rule) for _, severity, rule in said} == {("warning", "usual"), ("error", "passed")}
    assert said == sorted(said)


def test_cases_are_played_when_asked() -> None:
    """Cases are counted always, and played with what they cover only when asked."""
    quick = check(good())
    assert quick.sound and quick.cases == 2 and quick.played == () and quick.coverage is None
    whole = check(good(), play=True)
    assert [p.ok for p in whole.played] == [True, True]
    assert whole.coverage is not None and "leave.tag" in whole.coverage.no_step


def test_case_that_fails_makes_a_flow_unsound() -> None:
    """A case that ends otherwise than it says is an error at the expectation that isn't met."""
    files = edited("cases/worn.toml", 'outcome = "proved"', 'outcome = "declined"')
    found = check(files, play=True)
    (wrong,) = [p for p in found.problems if p.severity == "error"]
    assert (wrong.rule, wrong.file) == ("played", "cases/worn.toml")
    assert line_of(files, wrong).startswith('outcome = "declined"')


def line_of(files: dict[str, bytes], problem: Problem) -> str:
    """The text of a problem's line, from its column back to the key."""
    return files[problem.file].decode().splitlines()[problem.line - 1]


def test_case_is_placed_at_what_it_expects() -> None:
    """At its top; at its outcome where work was stopped and nothing is said of it; at the attempt that was let by."""
    worn = good()["cases/worn.toml"].decode()
    top = edited("cases/worn.toml", 'top = "dampers-worn"', 'top = "wiring"')
    stopped = edited("cases/worn.toml", "[case.answers]", '[case.answers]\n"isolate.look" = "no"')
    attempt = {**good(), "cases/worn.toml": f'{worn}\n[[attempt]]\nat = "dampers.pull"\ndo = "undo"\n'
               'refused = "gate"\n'.encode()}  # fmt: skip
    for files, starts in ((top, "top = "), (stopped, "outcome = "), (attempt, "[[attempt]]")):
        (wrong,) = [p for p in check(files, play=True).problems if p.severity == "error"]
        assert line_of(files, wrong).startswith(starts), str(wrong)


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
    with pytest.raises(UsageError, match='Did you mean "passed"'):
        explain("pased")


def test_new_flow_is_proved() -> None:
    """What a trainer begins from passes everything, its cases too."""
    found = check(
        new("own-flow", "Own", "It makes a noise.", {"small": "Small", "large": "Large"}), play=True
    )
    assert found.sound, "\n".join(map(str, found.problems))
    assert all(p.ok for p in found.played) and found.cases > 0
