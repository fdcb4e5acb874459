"""Three whole jobs by keys in a real pseudo-terminal at 80x24, each with two breaks and a restart, to a true close.

The clocks of the program are put on by the test (``tests/helpers/terminal_program/clock_ahead.py``), so that half an
hour with hands inside, and five minutes until a bus is measured, take seconds.
"""

from __future__ import annotations

import sys

import pytest

from tests.helpers.interrupted_jobs import FLOW, PLANS, Plan, played
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of

pytestmark = [
    pytest.mark.nightly,
    pytest.mark.terminal,
    pytest.mark.skipif(sys.platform == "win32", reason="pseudo-terminals as POSIX has them"),
]
if sys.platform != "win32":
    from tests.helpers.terminal_program.interrupted import REASONS, InterruptedTechnician
    from tests.helpers.terminal_program.terminal import written
    from tests.helpers.terminal_program.terminal_jobs import events, session_of, worked


@pytest.mark.parametrize("plan", PLANS, ids=[plan.case for plan in PLANS])
def test_a_job_with_two_breaks_and_a_restart(tmp_path, plan: Plan):
    """Closed as repaired and proved. After each interruption hands come out, the reason stands there, and the same
    steps are asked as in the engine.
    """
    flow = load(folder_of(FLOW), lambda _digest: True)
    home = tmp_path / "home"
    home.mkdir()
    technician = InterruptedTechnician(home, flow, written(folder_of(FLOW), plan.case), plan.between)
    end = worked(home, technician)
    assert "Closed: repaired and proved" in end
    assert [e["outcome"] for e in events(home) if e["kind"] == "closed"] == ["proved"]
    for again in technician.again:
        said = " ".join(again.said.split())
        assert "HANDS OUT" in said and REASONS[again.between.how] in said, again.said
        assert "Hands out of the machine." in said
    expected = played(flow, plan).again
    assert [(a.between, list(a.steps)) for a in expected] == [(a.between, a.steps) for a in technician.again]
    assert "## What was done" in (session_of(home) / "HANDOVER.md").read_text(encoding="utf-8")
