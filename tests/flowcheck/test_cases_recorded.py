"""Shipped cases led by a recording: what proves a repair, and what of the recording after it doesn't."""

from __future__ import annotations

import pytest

from tests.flowcheck.test_cases_repaired import played
from wizard.domain.vocabulary import JobOutcome
from wizard.engine.messages.events import ReadingTaken
from wizard.engine.state.fold import fold_all


@pytest.mark.parametrize(
    ("case", "outcome"),
    [
        ("recorded-worn", JobOutcome.PROVED),
        ("recorded-slower", JobOutcome.NOT_PROVED),
        ("recorded-bangs", JobOutcome.PROOF_FAILED),
        ("recorded-short", JobOutcome.PROVED),
    ],
)
def test_what_a_recording_proves(case, outcome):
    """A calm spin at the speed of before; one a third slower; one that bangs still."""
    found = played("washer-shake", case)
    assert found.outcome == outcome
    state = fold_all(list(found.records))
    read = [r.event for r in found.records if isinstance(r.event, ReadingTaken) and r.event.recording]
    assert bool([e for e in read if state.find_run(e.run).inspection == "record-spin"]) == (
        case != "recorded-short"
    )
