"""Thirty-six visits, told before they were run: the flow names what a good technician names, but for what is listed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.vignettes.vignette_outcomes import (
    VignetteRun,
    both_ways,
    by_advice,
    misses,
    on_page,
    table,
    without_figures,
)
from tests.vignettes.vignette_stories import HERE, KINDS, Vignette, faults_of, vignettes
from wizard.engine.guidance.session_ranking import DECIDED
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow

ANEW = "python -m tests.vignettes.vignette_outcomes"
WHERE = {"network", "advice", "flow", "story"}


@pytest.fixture(scope="module")
def flow() -> Flow:
    """The shipped flow."""
    return load(folder_of("washer-shake"))


@pytest.fixture(scope="module")
def visits(flow: Flow) -> tuple[Vignette, ...]:
    """The visits."""
    return vignettes(flow)


@pytest.fixture(scope="module")
def runs(flow: Flow) -> tuple[VignetteRun, ...]:
    """Each visit by the advice and in the order, to the close."""
    return tuple(both_ways(flow))


def test_there_are_a_dozen_for_each_kind_and_each_case_ends_as_its_story(
    visits: tuple[Vignette, ...],
) -> None:
    """What a case expects is what the story names, in the flow's words; nothing is named and not named."""
    assert [sum(v.kind == kind for v in visits) for kind in KINDS] == [12, 12, 12]
    for visit in visits:
        of = {name: set(faults_of(name)) & set(visit.expected) for name in visit.named}
        assert all(of.values()) and set.union(*of.values()) == set(visit.expected), visit.id
        assert visit.unnamed and not visit.forbidden & set(visit.expected), visit.id


def test_every_name_of_a_story_is_a_fault_of_the_flow(flow: Flow, visits: tuple[Vignette, ...]) -> None:
    """A fault that was renamed or divided is divided in the stories' names too."""
    names = {fault for v in visits for name in v.named | v.unnamed for fault in faults_of(name)}
    assert names <= set(flow.faults)


def test_the_advice_comes_to_what_the_story_names_but_for_the_misses(
    runs: tuple[VignetteRun, ...],
) -> None:
    """Hits stay hits. A miss that has become a hit is taken out of misses.toml."""
    missed = {one.advised.visit.id for one in runs if not one.advised.hit}
    assert missed == set(misses()), f"lost: {missed - set(misses())}; hit now: {set(misses()) - missed}"


def test_nothing_is_decided_that_the_technician_would_not_name(
    runs: tuple[VignetteRun, ...],
) -> None:
    """A miss is not sure enough; it is never sure of something else."""
    for run in runs:
        for one in (run.advised, run.ordered):
            assert one.decided <= set(one.visit.expected), one.visit.id


def test_every_hit_ends_its_job_as_the_story_does(
    runs: tuple[VignetteRun, ...],
) -> None:
    """Confirmed, repaired and proved, or closed as it says."""
    assert {
        o.advised.visit.id: o.jobs.advice.problems for o in runs if o.advised.hit and not o.jobs.advice.ok
    } == {}


def test_each_answer_of_a_case_is_asked_for_in_the_order(runs: tuple[VignetteRun, ...]) -> None:
    """What a story says and no step asks would test nothing."""
    assert {o.advised.visit.id: o.jobs.order.problems for o in runs if not o.jobs.order.ok} == {}


def test_each_miss_has_its_reason_and_where_it_lies() -> None:
    """A list of misses without reasons is a list of excuses."""
    known = misses()
    assert all(
        row["where"] in WHERE and len(row["reason"].split()) > 15 and row["short"] for row in known.values()
    )


def test_the_page_says_what_is_ranked_decided_and_missed_today(runs: tuple[VignetteRun, ...]) -> None:
    """All but the figures, which move with every change of the advice."""
    assert without_figures(on_page()) == without_figures(table(runs)), f"make it anew: {ANEW}"


@pytest.mark.nightly
def test_the_page_has_the_figures_of_today(runs: tuple[VignetteRun, ...]) -> None:
    """Probabilities, answers and minutes too: a page of old figures says nothing."""
    assert on_page() == table(runs), f"make it anew: {ANEW}"


def test_only_figures_are_left_out_of_the_comparison() -> None:
    """A fault, a decision or a hit that changed is seen."""
    line = "| a-visit | pads and feet | pads >.99, feet .97 | yes | 44 | 84.5 | hit | hit |  |\n"
    assert without_figures(line) == without_figures(
        line.replace("44 | 84.5", "45 | 86").replace(".97", ".91")
    )
    for old, new in (("feet .97", "rods .97"), ("yes", "no"), ("hit |  |", "miss |  |")):
        assert without_figures(line) != without_figures(line.replace(old, new))


def test_a_fault_left_undecided_is_no_hit(flow: Flow, visits: tuple[Vignette, ...]) -> None:
    """The measure tells a hit from a visit whose story was answered in part only."""
    visit = next(v for v in visits if v.id == "the-torn-strap")
    healthy = replace(visit.case, answers={})
    assert by_advice(flow, visit).hit
    assert not by_advice(flow, replace(visit, case=healthy)).hit


def test_the_stories_are_beside_the_cases() -> None:
    """Each kind has both."""
    assert all((HERE / f"{kind}_{what}").is_file() for kind in KINDS for what in ("stories.md", "cases.toml"))
    assert pytest.approx(DECIDED) == 0.9
