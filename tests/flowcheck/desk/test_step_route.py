"""A case leads a job to a step; a job that was tried becomes a case."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.helpers.jobs import GOOD, HandClock, good
from wizard.domain.references import StepRef
from wizard.engine.messages import commands as c
from wizard.engine.queries import machine_queries
from wizard.errors import FlowError
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.cases.case_recorder import case_from
from wizard.flowcheck.desk.flow_reading import read_flow
from wizard.flowcheck.desk.kept_case import keep_case
from wizard.flowcheck.desk.step_route import StepRoute, routes
from wizard.flowcheck.desk.tried_session import opened_from
from wizard.sessions.session_store import Store

PULL = StepRef("dampers", "pull")


def route_to(step: StepRef) -> StepRoute | None:
    """The first way to a step of the small flow."""
    return next(routes(good(), read_flow(GOOD).cases, step), None)


def test_the_step_is_on_screen_and_nothing_is_asked_before_it(tmp_path: Path) -> None:
    """The session stands at the step, ready to be answered: no break lies between the case and the trainer."""
    route = route_to(PULL)
    assert route is not None
    with opened_from(Store(tmp_path, HandClock()), good(), read_folder(GOOD), route.records) as opened:
        session = opened.session
        assert session.state.run is not None and session.state.run.ref == PULL
        assert machine_queries.ready(session.view) and session.state.session == opened.name
        before = session.state.seq
        session.do(c.TakeReading(session.state.run.id, "pull", "61"))
        assert session.state.seq > before and session.state.readings(session.state.run.id, "pull")


def test_a_step_that_no_case_comes_to_has_no_way() -> None:
    """Nothing is made up for it."""
    covered = {passed.step for one in _played() for passed in one.path}
    every = {StepRef(i.id, s.id) for i in good().inspections.values() for s in i.steps}
    missed = sorted(every - covered, key=str)
    assert missed and route_to(missed[0]) is None


def _played():  # type: ignore[no-untyped-def]
    checked = read_flow(GOOD, play=True).checked
    assert checked is not None
    return checked.played


def test_a_tried_job_is_read_again_from_its_journal(tmp_path: Path) -> None:
    """What was tried lies in a journal like any other, so that a case can be made of it."""
    route = route_to(PULL)
    assert route is not None
    store = Store(tmp_path, HandClock())
    with opened_from(store, good(), read_folder(GOOD), route.records) as opened:
        name, state = opened.name, opened.session.state
    assert store.load(name).state == state


def test_a_case_is_added_and_a_second_of_that_name_is_not(tmp_path: Path) -> None:
    """The file holds both that were kept; what is no sound case changes nothing."""
    folder = Path(shutil.copytree(GOOD, tmp_path / "own"))
    worn = next(one for one in _played() if one.case == "worn")
    path = keep_case(folder, good(), case_from(good(), worn.records, "tried-a"), "tried-a", ())
    keep_case(folder, good(), case_from(good(), worn.records, "tried-b"), "tried-b", ())
    taken = {case.id for case in read_flow(folder).cases}
    before = path.read_bytes()
    assert taken >= {"tried-a", "tried-b"}
    with pytest.raises(FlowError, match='a case "tried-a" already'):
        keep_case(folder, good(), case_from(good(), worn.records, "tried-a"), "tried-a", taken)
    with pytest.raises(FlowError, match="can't be kept"):
        keep_case(folder, good(), "[[case]]\nid = 3\n", "other", taken)
    assert path.read_bytes() == before


def test_a_file_that_is_not_utf_8_is_said_and_left(tmp_path: Path) -> None:
    """Written by another editor in its own way: nothing is lost of it."""
    folder = Path(shutil.copytree(GOOD, tmp_path / "own"))
    path = folder / "cases" / "tried.toml"
    path.write_bytes(b"# na\xefve\n")
    with pytest.raises(FlowError, match="not UTF-8"):
        keep_case(folder, good(), "[[case]]\n", "other", ())
    assert path.read_bytes() == b"# na\xefve\n"
