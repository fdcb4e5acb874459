"""A session judged once more: by its own flow nothing differs; by other limits what differs is what the numbers say."""

from dataclasses import replace
from functools import lru_cache

import pytest
from scipy.stats import norm

from tests.helpers.flows.flow_folders import GOOD
from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import store_at
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import Verdict
from wizard.engine.driver import Driver
from wizard.engine.session import Session
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load, load_files
from wizard.flow.loading.service_sheet import load_sheet
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.cases.case_script import Script
from wizard.flowcheck.model.manual_clock import CaseClock
from wizard.review.rejudging import rejudge

PULL = StepRef("dampers", "pull")


@lru_cache(maxsize=1)
def shake():
    return load(folder_of("washer-shake"), lambda digest: True)


@pytest.fixture
def view(tmp_path):
    """A proved job of worn dampers, each of three pulled at 18 N."""
    store = store_at(learned_home(tmp_path / "home"))
    return store.load(store.home.list_ids()[0]).view


def edited(old, new):
    """The small flow with one text of its limits in place of another."""
    files = read_folder(GOOD)
    before = files["limits.toml"].decode()
    assert before.count(old) >= 1
    return load_files({**files, "limits.toml": before.replace(old, new, 1).encode()})


def test_by_its_own_flow_nothing_differs(view):
    """The same readings by the same limits."""
    found = rejudge(view, view.flow)
    assert found.changes == () and found.before == found.after and not found.leader_changed
    assert found.judged > 15 and found.decided == ("dampers-worn",)


@pytest.mark.parametrize("place", [0, 0.17, 0.33, 0.5, 0.67, 0.83])
def test_a_shipped_job_by_its_own_flow_is_as_it_was(place):
    """Measured, computed, chosen and ticked: all come out as they were judged in the job."""
    cases = load_cases(folder_of("washer-shake"), shake())
    case = cases[int(place * len(cases))]
    clock = CaseClock()
    session = Session.begin(shake(), "2026-03-02-a", lambda _records: None, clock, "R. Vale")
    driver = Driver(session, Script(case), clock.pass_by)
    while driver.advance():
        pass
    found = rejudge(session.view, shake())
    assert [(str(c.where), c.why) for c in found.changes] == [] and found.judged


def test_a_limit_moved_below_the_readings_turns_the_verdict_and_the_leader_loses(view):
    """Readings of 18 N: below 30 they failed. By an edge of 10 and 15 N they are mostly good."""
    found = rejudge(view, edited("below = 30", "below = 10"))
    (change,) = [c for c in found.changes if c.where == PULL]
    assert (change.before, change.after) == (Verdict.FAIL, Verdict.WATCH)
    assert change.limits[0].bands[0].below == 30.0 and change.limits[1].bands[0].below == 10.0
    assert found.before[0].probability > found.after[0].probability


def test_the_evidence_is_what_a_normal_distribution_gives(view):
    """The chance that one of the items lies in the bands of the finding: by scipy's normal distribution function."""
    found = rejudge(view, edited("below = 30", "below = 16"))
    (change,) = [c for c in found.changes if c.where == PULL]
    weak = [norm.cdf((16 - one.mean) / one.uncertainty) for one in change.outcome.items]
    none = 1.0
    for chance in weak:
        none *= 1.0 - chance
    assert change.findings["pull-weak"][1] == pytest.approx(1.0 - none, abs=1e-6)


def test_a_service_sheet_comes_before_the_flow(view, tmp_path):
    """Its limits judge, and its source is what stands beside them."""
    path = tmp_path / "m7.toml"
    path.write_text(
        """[sheet]
model = "M7"
source = "Sheet 4711, page 3"
[[limit]]
id = "damper-drag"
says = "Pull of one damper"
unit = "N"
source = "Sheet 4711, page 3"
applies = { dampers = ["3"] }
[[limit.band]]
id = "weak"
below = 5
verdict = "fail"
[[limit.band]]
id = "good"
up_to = 80
verdict = "pass"
[[limit.band]]
id = "stiff"
verdict = "fail"
""",
        encoding="utf-8",
    )
    found = rejudge(view, view.flow, load_sheet(path, view.flow))
    (change,) = [c for c in found.changes if c.where == PULL]
    assert change.after is Verdict.PASS and change.limits[1].source == "Sheet 4711, page 3"


def test_what_the_other_flow_does_not_have_says_nothing(view):
    """A step that is gone, an answer that is gone: named, and no evidence comes of them."""
    files = read_folder(GOOD)
    text = files["inspections/dampers.toml"].decode()
    gone = load_files({**files, "inspections/dampers.toml": text.encode()})
    inspection = gone.inspections["dampers"]
    steps = tuple(step for step in inspection.steps if step.id != "pull")
    other = replace(gone, inspections={**gone.inspections, "dampers": replace(inspection, steps=steps)})
    found = rejudge(view, other)
    (change,) = [c for c in found.changes if c.where == PULL]
    assert change.why == "The flow has no such step." and change.after is None
    assert change.findings["pull-weak"] == (pytest.approx(1.0, abs=1e-3), 0.5)


def test_nothing_of_the_session_is_changed(view):
    """The state that is looked at is the one that was."""
    before = view.state
    rejudge(view, edited("below = 30", "below = 10"))
    assert view.state is before and JobView.of(view.flow, before).state == before
