"""What stays unexplained once a fault is confirmed, and the second fault to ask for."""

from __future__ import annotations

from dataclasses import replace

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import AnswerHow, Phase
from wizard.engine.guidance.evidence_columns import evidence_columns, looked_columns
from wizard.engine.guidance.session_ranking import base_network, explain, unexplained
from wizard.engine.state.job_state import AnswerRecord, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow

FLOW = load(folder_of("washer-shake"))


def heard(flow: Flow = FLOW, /, **evidence: float) -> JobView:
    """A front loader of which just this was found."""
    found = {name.replace("_", "-"): e for name, e in evidence.items()}
    given = AnswerRecord(
        1, "", 1, 1, "arrival", "noises", Phase.BEFORE, "x", AnswerHow.ANSWER, "end", evidence=found
    )
    return JobView.of(flow, State(facts={"kind": "front-loader"}, answer_records=(given,)))


def test_a_finding_that_the_fault_seldom_shows_is_named_with_the_likeliest_other() -> None:
    """Worn dampers don't make a firm floor shake: that stays open and points to the floor."""
    second = unexplained(heard(damper_drag_low=1.0, floor_shakes=1.0), ("dampers-worn",))
    left = {x.finding: x for x in second.left}
    assert "damper-drag-low" not in left and left["floor-shakes"].fault == "floor"
    assert second.likeliest is not None and second.likeliest.fault == "floor"
    assert second.likeliest.says == FLOW.faults["floor"].says
    assert left["floor-shakes"].says == FLOW.findings["floor-shakes"].says


def test_both_confirmed_leave_nothing() -> None:
    """Once the second fault is confirmed too, every finding has its cause; a third is unlikely."""
    second = unexplained(heard(damper_drag_low=1.0, floor_shakes=1.0), ("dampers-worn", "floor"))
    assert second.left == () and second.likeliest is not None
    assert second.likeliest.fault not in ("dampers-worn", "floor") and second.likeliest.probability < 0.1


def test_a_second_fault_is_likelier_with_something_unexplained() -> None:
    """The floor given worn dampers, with and without its sign."""
    open_ = unexplained(heard(damper_drag_low=1.0, floor_shakes=1.0), ("dampers-worn",))
    shut = unexplained(heard(damper_drag_low=1.0), ("dampers-worn",))
    assert shut.left == () and shut.likeliest is not None and open_.likeliest is not None
    assert open_.likeliest.probability > 3 * shut.likeliest.probability


def test_nothing_stands_beside_what_excludes_all_others() -> None:
    """'Normal for its kind' has no second fault; what was seen may stay unexplained."""
    second = unexplained(heard(walks=1.0), ("normal",))
    assert second.likeliest is None and second.against == ()


def test_a_fault_that_the_findings_rule_out_is_said_to_be() -> None:
    """A finding that a fault always shows was ruled out for certain: it is named, and nothing is guessed from it."""
    finding = FLOW.findings["damper-drag-low"]
    sure = replace(finding, weights={**finding.weights, "dampers-worn": 1.0})
    flow = replace(FLOW, digest="sure", findings={**FLOW.findings, finding.id: sure})
    second = unexplained(heard(flow, damper_drag_low=0.0), ("dampers-worn",))
    assert second.against == ("dampers-worn",) and second.left == () and second.likeliest is None


def test_what_no_reading_spoke_of_is_told_apart() -> None:
    """The bounce was looked at, the pull read: only the first has no limit; after a repair too."""
    job = Job().find_worn()
    base = base_network(job.view)
    assert base is not None
    looked, heard = looked_columns(base, job.view), evidence_columns(base, job.view)
    read = {f for g in job.state.answer_records for f in g.evidence if g.step == "pull"}
    assert read and looked and not read & looked and looked | read <= heard.keys()
    assert explain(job.view, "dampers-worn").looked == looked


def test_nothing_confirmed_asks_nothing() -> None:
    """No fault, or one that this machine can't have, leaves nothing to ask."""
    job = Job()
    assert unexplained(job.view, ()) == unexplained(heard(), ("rods",))
    assert unexplained(job.view.at(State()), ("dampers-worn",)).likeliest is None
