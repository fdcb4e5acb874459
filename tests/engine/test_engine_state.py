"""A state changed: a copy that differs in what was named and in nothing else."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace

import pytest

from wizard.engine.state import Given, Halt, Run, State, Taken, Visit, changed

THINGS = (
    (State(seq=3, job="working"), {"job": "stopped", "stack": (1, 2)}),
    (Run(1, "feet", "before", 1, "rock", "open", "", 4), {"how": "left"}),
    (Given(5, "", 1, 1, "feet", "rock", "before", "no", "answered", "end"), {"aside": True}),
    (Taken(6, "", 1, 1, "feet", "gap", "before", 0, 0, 0, 0.5, "0.5", "mm", "", ""), {"aside": True}),
    (Visit(1, "N. N.", "", ""), {"person": "M. M."}),
    (Halt("gas", "Smell of gas.", ""), {"done": {1: ""}}),
)


@pytest.mark.parametrize(("thing", "changes"), THINGS, ids=[type(thing).__name__ for thing, _ in THINGS])
def test_changed_is_replace(thing, changes) -> None:
    """The same as the standard library's dataclasses.replace, and the first one stays as it was."""
    before = {f.name: getattr(thing, f.name) for f in fields(thing)}
    made = changed(thing, **changes)
    assert made == replace(thing, **changes) and type(made) is type(thing)
    assert {f.name: getattr(thing, f.name) for f in fields(thing)} == before


def test_a_field_that_is_not_there_is_an_error() -> None:
    """A misspelt field isn't taken silently."""
    with pytest.raises(TypeError, match="State has no field jop"):
        changed(State(), jop="working")


def test_what_was_changed_is_frozen_too() -> None:
    """Nothing can be set on a copy."""
    with pytest.raises(FrozenInstanceError):
        changed(State(), seq=1).seq = 2
