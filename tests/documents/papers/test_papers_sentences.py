"""Whole papers, sentence by sentence against the journal: nothing is printed that no event backs.

Each sentence of the customer's handover names its evidence, and ``tests/helpers/papers/paper_sentences.py`` looks for
what it says among the raw events of the job. The jobs played by keys in a terminal are read by the same checks.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

import pytest

from tests.helpers.jobs import Job
from tests.helpers.papers.paper_events import RawEvents
from tests.helpers.papers.paper_sentences import CHECKS
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import NextKind
from wizard.engine.messages import commands as c
from wizard.engine.messages import events as ev
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.case_player import play


def played(case: str) -> RawEvents:
    flow = load(folder_of("washer-shake"))
    found = next(one for one in shipped_cases() if one.id == case)
    records = play(flow, found).records
    return RawEvents(JobView.of(flow, fold_all(records)), tuple(records))


@cache
def shipped_cases():
    from wizard.flow.loading.case_loader import load_cases

    folder = folder_of("washer-shake")
    return load_cases(folder, load(folder))


def all_skipped() -> RawEvents:
    """Every inspection of the search left out, and no fault confirmed."""
    job = Job()
    for name in job.flow.find:
        job.do(c.Skip(name, "no time today"))
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    return RawEvents(job.view, tuple(job.records))


def all_skipped_shipped() -> RawEvents:
    """Every inspection of the shipped search left out, no fault confirmed, and what is owed done all the same."""
    flow = load(folder_of("washer-shake"))
    job = Job({f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow.facts}, flow)
    for name in flow.find:
        job.do(c.Skip(name, "no time today"))
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return RawEvents(job.view, tuple(job.records))


def repaired() -> RawEvents:
    job = Job().find_worn()
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return RawEvents(job.view, tuple(job.records))


def stopped() -> RawEvents:
    """Stopped with the front off, and every line ticked."""
    job = Job()
    job.come_to_pull()
    job.do(c.StopWork("people"))
    for line in range(len(job.flow.stops["people"].make_safe)):
        job.do(c.MakeSafe("people", line))
    return RawEvents(job.view, tuple(job.records))


def taken_back() -> RawEvents:
    """Stopped by a wrong key, taken back, and the job done to its end."""
    job = Job()
    job.through("quick")
    job.do(c.OpenInspection("dampers"))
    while job.at != "before.danger":
        job.answer()
    job.answer("scorched")
    job.do(c.WithdrawStop("Wrong key: the plug is cool"))
    job.find_worn()
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    return RawEvents(job.view, tuple(job.records))


JOBS: dict[str, Callable[[], RawEvents]] = {
    "a lone technician": lambda: played("alone"),
    "a lone technician, dampers from below": lambda: played("below"),
    "told what was in the drum": lambda: played("drum-empty-told-one-heavy"),
    "everything skipped, shipped": all_skipped_shipped,
    "advice alone": lambda: played("dryer-locked"),
    "nothing wrong": lambda: played("normal-fl"),
    "everything skipped": all_skipped,
    "stopped in the middle": stopped,
    "a slip taken back": taken_back,
    "stopped by a reading": lambda: played("stop-voltage"),
    "repaired and proved": repaired,
    "repaired, shipped": lambda: played("dampers-worn"),
    "one of three dampers weak": lambda: played("one-weak"),
    "not proved": lambda: played("unproved-gives-up"),
}


@pytest.fixture(scope="module", params=JOBS)
def journal(request: pytest.FixtureRequest) -> RawEvents:
    return JOBS[request.param]()


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: check.__name__)
def test_every_sentence_is_backed_by_the_journal(
    check: Callable[[RawEvents], None], journal: RawEvents
) -> None:
    """What is measured was read, what is seen was answered at the machine, and so on: a check a kind of evidence."""
    check(journal)


def test_the_jobs_are_what_they_are_called() -> None:
    """The cases end in the ways that they are here for."""
    ends = {name: make() for name, make in JOBS.items()}
    skipped = ends["everything skipped"]
    looked = [i for i in skipped.view.flow.find if skipped.looked(i)]
    assert looked == ["quick"] and len(skipped.events(ev.Skipped)) == 3  # Asked before the proving spin.
    state = {name: journal.view.state for name, journal in ends.items()}
    assert state["stopped in the middle"].stops and state["stopped by a reading"].stops
    assert state["repaired and proved"].outcome == "proved" and state["not proved"].outcome == "proof-failed"
    slip = ends["a slip taken back"]
    assert slip.events(ev.StopWithdrawn) and not slip.view.state.stops
    assert state["a slip taken back"].outcome == "proved"
    text = MARKDOWN.write(customer_handover(slip.view)).decode()
    assert "Do not use" not in text and "scorched" not in text.lower()
    assert state["nothing wrong"].outcome == "no-fault"
