"""A state changed: a copy that differs in what was named and in nothing else."""

from __future__ import annotations

from dataclasses import FrozenInstanceError, fields, replace

import pytest

from wizard.domain.vocabulary import AnswerHow, JobState, Phase, RunStatus
from wizard.engine.state.job_state import AnswerRecord, JobVisit, ReadingRecord, Run, State, Stoppage, changed

THINGS = (
    (State(seq=3, job=JobState.WORKING), {"job": JobState.STOPPED, "stack": (1, 2)}),
    (Run(1, "feet", Phase.BEFORE, 1, "rock", RunStatus.OPEN, "", 4), {"how": RunStatus.LEFT}),
    (AnswerRecord(5, "", 1, 1, "feet", "rock", Phase.BEFORE, "no", AnswerHow.ANSWER, "end"), {"aside": True}),
    (
        ReadingRecord(6, "", 1, 1, "feet", "gap", Phase.BEFORE, 0, 0, 0, 0.5, "0.5", "mm", "", ""),
        {"aside": True},
    ),
    (JobVisit(1, "N. N.", "", ""), {"ticket": "T-2"}),
    (Stoppage(7, "gas", "Smell of gas.", "", 1), {"done": {1: ""}}),
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
        changed(State(), jop=JobState.WORKING)


def test_what_was_changed_is_frozen_too() -> None:
    """Nothing can be set on a copy."""
    with pytest.raises(FrozenInstanceError):
        changed(State(), seq=1).seq = 2
