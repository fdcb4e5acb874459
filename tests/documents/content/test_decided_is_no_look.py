"""Who only decided that a spin is wanted has looked at nothing, and no paper says so."""

from wizard.documents.content.search_coverage import search_coverage
from wizard.documents.papers.customer_handover import customer_handover
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import NextKind
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.engine.session import Session
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.screens.viewmodels.job_map.map_rows import MapMark, rows


def knocking_drum() -> Session:
    """A job in which the drum was found to knock, before the empty spin was begun."""
    flow = load(folder_of("washer-shake"), lambda _digest: True)
    case = next(k for k in load_cases(folder_of("washer-shake"), flow) if k.id == "spider-declined")
    clock = CaseClock()
    session = Session.begin(flow, "2026-03-02-a", lambda _record: None, clock, "R. Vale")
    driver = Driver(session, Script(case), clock.pass_by)
    while driver.advance():
        if session.state.belief.get("drum-sound") and session.state.run is None:
            break
    return session


def barred_spin() -> JobView:
    """A drum that knocks: the empty spin was opened and decided on, and could not be made."""
    session = knocking_drum()
    session.do(c.OpenInspection("baseline"))
    session.do(c.GiveAnswer(session.state.run.id, "ready", ("ready",)))
    return session.view


def test_an_inspection_whose_first_look_is_barred_is_not_called_open() -> None:
    """What is decided before it has shown nothing: the map says that it can't be done now, and why."""
    view = knocking_drum().view
    (row,) = (r for r in rows(view) if r.kind is NextKind.INSPECT and r.target == "baseline")
    assert row.mark is MapMark.BARRED and "That must be repaired, or looked at again, first." in row.note
    assert next_queries.open_barred(view, "feet") == ""


def test_a_decision_is_no_look() -> None:
    """It is answered, and the spin is not among what was looked at, nor in part."""
    view = barred_spin()
    assert any((g.inspection, g.step) == ("baseline", "ready") for g in view.state.answer_records)
    assert "baseline" not in search_coverage(view).partly
    assert "Empty spin as it came: partly looked at" not in MARKDOWN.write(customer_handover(view)).decode()
