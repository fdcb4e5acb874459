"""Faults under a job: nothing that was acknowledged is lost, nothing is invented, what was repaired is said.

By day a few of each kind; by night hundreds: python -m pytest -n 0 -m nightly tests/faults. The whole table, and the
real program ended at random moments: python -m tests.faults --tries 2000 --kills 200 --contents 3500.
"""

from __future__ import annotations

import sys

import pytest

from tests.faults.fault_kinds import Fault, FaultKind, Workload
from tests.faults.fault_try import faults, reference, tried
from tests.faults.foreign_contents import fuzzed, readers
from tests.faults.killed_program import killed

pytestmark = pytest.mark.skipif(
    sys.platform != "linux", reason="it forks, and asks /proc which file is which"
)


@pytest.mark.parametrize("kind", list(FaultKind), ids=lambda k: k.name.lower())
def test_nothing_acknowledged_is_lost(kind: FaultKind) -> None:
    """One fault of each kind, at a call by chance."""
    (fault,) = [one for one in faults(len(FaultKind), 7) if one.kind is kind]
    outcome = tried(fault)
    assert outcome.came and outcome.ok, outcome


@pytest.mark.nightly
def test_nothing_acknowledged_is_lost_by_night() -> None:
    """Hundreds of faults."""
    found = [tried(fault) for fault in faults(420, 11)]
    assert [one for one in found if not one.ok] == [] and sum(one.came for one in found) > 400


@pytest.mark.nightly
def test_the_real_program_may_end_at_any_moment() -> None:
    """Killed, hung up, suspended, with a second one beside it."""
    assert [one for one in (killed(number, 5) for number in range(16)) if one.wrong] == []


@pytest.mark.nightly
def test_readers_take_neither_long_nor_much() -> None:
    """Every reader on a thousand contents."""
    assert [one for one in (fuzzed(name, 1000, 5) for name in readers()) if one.wrong] == []


def late(workload: Workload) -> int:
    """A call of the system near the end of the job."""
    return reference(workload).calls[FaultKind.POWER_CUT] - 8


@pytest.mark.parametrize(("workload", "call"), [(Workload.NEW_HOME, 500), (Workload.KNOWN_HOME, 180)])
def test_a_program_that_never_syncs_is_found_out(
    workload: Workload, call: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The harness bites: with a sync that does nothing a power cut loses what was acknowledged."""
    fault = Fault(FaultKind.POWER_CUT, late(workload), workload)
    assert tried(fault).lost == 0
    monkeypatch.setattr("wizard.journal.journal_writer.sync", lambda _descriptor: None)
    assert tried(Fault(FaultKind.POWER_CUT, call, workload)).lost > 10


def test_folders_whose_names_were_never_synced_are_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    """A new home whose name is not on the disk: all of it is gone."""
    monkeypatch.setattr("wizard.journal.durable_io.sync_folder", lambda _folder: None)
    outcome = tried(Fault(FaultKind.POWER_CUT, 300, Workload.NEW_HOME))
    assert outcome.lost == outcome.acknowledged > 10
