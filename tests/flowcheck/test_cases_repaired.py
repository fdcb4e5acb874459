"""Shipped cases by what a repair says and asks: which alternative was done, its parts, and what is measured again."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

import pytest

from wizard.documents.files.paper_seal import seal_of
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.papers.technician_record import technician_record
from wizard.documents.writers.markdown import MARKDOWN
from wizard.engine.audit import audit
from wizard.engine.messages.events import Entered, FactTaken
from wizard.engine.safety.flow_rules import Rules
from wizard.engine.state.fold import fold_all
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.advised_play import compare
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played


@lru_cache(maxsize=2)
def flow_and_cases(name: str) -> tuple[Flow, dict[str, Case]]:
    """A shipped flow, and its cases by their ids."""
    flow = load(folder_of(name))
    return flow, {case.id: case for case in load_cases(folder_of(name), flow)}


def played(name: str, case: str) -> Played:
    """One case, played; it ends as it says."""
    flow, cases = flow_and_cases(name)
    found = play(flow, cases[case])
    assert found.ok, found.problems
    return found


ALTERNATIVES = [
    ("washer-shake", "hooked-on", "The damper that had come off its pin hooked on again", "Damper ("),
    ("washer-shake", "dampers-worn", "New dampers, all of them", ""),
    ("washer-shake", "way-rod-off", "The rod that had come off its seat seated again", "(change all four)"),
    ("washer-shake", "way-belt-off", "The belt that had come off put on again", "Belt, if torn"),
    (
        "washer-no-drain",
        "wheel-freed",
        "What held the pump wheel taken out through the filter",
        "pump with seal",
    ),
    ("washer-no-drain", "jammed-fl", "The pump cleared, its hose on again", "Drain pump with seal"),
    ("washer-no-drain", "jammed-worn", "A new drain pump with its seal", ""),
]


@pytest.mark.parametrize(("name", "case", "done", "absent"), ALTERNATIVES, ids=[a[1] for a in ALTERNATIVES])
def test_the_papers_say_what_was_done_and_name_no_part_that_was_not_fitted(
    name: str, case: str, done: str, absent: str
) -> None:
    """What was hooked on, cleared or put on again is so called on both papers, and no part stands beside it."""
    view = JobView.of(flow_and_cases(name)[0], fold_all(played(name, case).records))
    papers = (customer_handover(view, seal_of("0123456789abcdef" * 4)), technician_record(view))
    repair = view.state.repairs[-1]
    assert bool(repair.parts) is not bool(absent)
    for paper in papers:
        text = MARKDOWN.write(paper).decode()
        assert done in text and (not absent or absent not in text)


def test_what_a_repair_did_not_change_is_not_asked_again() -> None:
    """Water is looked for once more after the drain was cleared, not foam or floor; no spring is drawn off again."""
    asked = Counter(str(p.step) for p in played("washer-shake", "drain-fl").path)
    assert (asked["quick.water"], asked["quick.load"], asked["quick.floor"]) == (2, 1, 1)
    again = Counter(str(p.step) for p in played("washer-shake", "springs-fl").path)
    assert (again["springs.look"], again["springs.lean"], again["springs.lengths"]) == (2, 2, 1)


def test_no_joint_is_asked_four_times() -> None:
    """By the advice: with the power off, as the taps open, under pressure; at the handover none that was found dry."""
    flow, cases = flow_and_cases("washer-shake")
    path = compare(flow, cases["straps-hung"]).advice.path
    asked = Counter(str(p.step) for p in path if "joint" in _words(flow, str(p.step)))
    assert asked == {"hoses-look.joints": 1, "water.open": 1, "hoses-pressure.tissue": 1}


def _words(flow: Flow, where: str) -> str:
    inspection, _, name = where.partition(".")
    step = flow.inspections[inspection].step(name)
    assert step is not None
    return step.do.lower()


def test_what_is_not_known_yet_is_asked_once_it_is_in_sight() -> None:
    """The dampers are counted once the panel is off, in the middle of an inspection, which goes on; all are pulled."""
    found = played("washer-shake", "not-known-yet")
    taken = [r for r in found.records if isinstance(r.event, FactTaken) and r.event.fact == "dampers"]
    assert [r.event.value for r in taken] == ["not-known", "3"]  # type: ignore[union-attr]
    after = next(r.event for r in found.records if r.seq > taken[1].seq and isinstance(r.event, Entered))
    before = [r.event for r in found.records if r.seq < taken[1].seq and isinstance(r.event, Entered)]
    assert after.run in {event.run for event in before} and not taken[1].event.left  # type: ignore[union-attr]
    items = {t.item for t in fold_all(found.records).reading_records if t.step == "pull"}
    assert items == {0, 1, 2}
    flow, _ = flow_and_cases("washer-shake")
    assert audit(Rules.of(flow), found.records) == ()
