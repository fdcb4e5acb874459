"""The flag on a visit that ends with no fault before all of the search was looked at."""

from __future__ import annotations

import pytest

from tests.helpers.paced_jobs import Paced, raised
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c


def ended(looked: tuple[str, ...], skipped: tuple[str, ...] = (), faults: tuple[str, ...] = ()) -> Paced:
    """Closed the usual way, after these inspections of quick, dampers and motor."""
    job = Paced()
    for name in looked:
        job.through(name)
    for name in skipped:
        job.do(c.Skip(name, "no time"))
    job.do(c.Confirm(faults, "nothing to be found"))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return job


def test_an_early_end_with_no_fault_is_flagged_at_the_close() -> None:
    """How many of how many, and how each of the others stands."""
    job = ended(("quick",), ("motor",))
    (flag,) = raised(job, "search-open")
    assert flag.says == "Closed with no fault found, and 1 of 3 looked at."
    assert flag.evidence == "Dampers: not begun; Motor wiring: left out."
    assert flag.seq == job.records[-1].seq


def test_normal_for_its_kind_is_no_fault_too() -> None:
    """It excludes every fault, by what was looked at and no more."""
    assert len(raised(ended(("quick", "dampers"), faults=("normal",)), "search-open")) == 1


@pytest.mark.parametrize("faults", [(), ("normal",)])
def test_a_whole_search_is_not_flagged(faults: tuple[str, ...]) -> None:
    """All looked at, and nothing found."""
    assert raised(ended(("quick", "dampers", "motor"), faults=faults), "search-open") == []


def test_a_fault_found_early_is_not_flagged() -> None:
    """The decision came before the rest: that is what the evidence leads to."""
    assert raised(ended(("quick",), faults=("wiring",)), "search-open") == []


def test_a_job_under_way_is_not_flagged() -> None:
    """The rest may still be looked at."""
    job = Paced()
    job.through("quick")
    job.do(c.Confirm(()))
    assert raised(job, "search-open") == []
