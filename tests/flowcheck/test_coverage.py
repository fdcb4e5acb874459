"""Which ways the cases go, by the keys of a drawing."""

from __future__ import annotations

import pytest

from wizard.flow.diagrams import drawn, links, mermaid
from wizard.flow.diagrams.step_links import LinkKey, LinkKind
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model import Flow
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.coverage import gone
from wizard.flowcheck.cases.stop_cases import stops

FOLDER = shipped()["washer-no-drain"]


@pytest.fixture(scope="module")
def flow() -> Flow:
    """The second shipped flow."""
    return load(FOLDER)


def keys(flow: Flow, *names: str) -> frozenset[LinkKey]:
    """The ways that these cases go."""
    return gone(flow, [play(flow, one) for one in load_cases(FOLDER, flow) if one.id in names])


def stopping(flow: Flow, name: str) -> frozenset[LinkKey]:
    """The ways that are gone by giving every answer that stops work on the way of a case."""
    case = next(one for one in load_cases(FOLDER, flow) if one.id == name)
    return gone(flow, (), stops(flow, [(case, play(flow, case).records)]))


def test_every_key_is_a_way_of_the_flow(flow: Flow) -> None:
    """Nothing is covered that isn't there."""
    every = {link.key for i in flow.inspections.values() for link in links(i)}
    found = keys(flow, "filter-fl", "jammed-fl", "second-try-fl") | stopping(flow, "filter-fl")
    assert found <= every and len(found) > 50


def test_answers_and_ticks(flow: Flow) -> None:
    """A chosen answer, each of several ticked ones, and a verdict."""
    found = keys(flow, "jammed-fl")
    assert {
        "arrival.noises:hums",
        "arrival.noises:rattles",
        "filter.wheel:stuck",
        "drain-test.time:pass",
    } <= set(map(str, found))
    assert "arrival.noises:slow" not in map(str, found)


def test_a_used_up_loop_is_a_way_of_its_own(flow: Flow) -> None:
    """Going back until the stop covers the way to it; going back once covers only the first way."""
    assert "power.try:lit:then" in map(str, stopping(flow, "filter-fl"))
    once = list(map(str, keys(flow, "second-try-fl")))
    assert "power.try:lit" in once and "power.try:lit:then" not in once


def test_unable_is_covered_where_a_case_says_so(flow: Flow) -> None:
    """'unable' is a way too."""
    assert "before.danger:unable" in map(str, stopping(flow, "filter-fl"))
    assert not [k for k in keys(flow, "filter-fl") if k.kind is LinkKind.UNABLE]


def test_the_drawings_mark_it(flow: Flow) -> None:
    """What is covered is solid on the page and ticked in the terminal."""
    found = keys(flow, "filter-fl")
    assert any("✓ full" in line for line in drawn(flow, "filter", covered=found))
    assert any("✗ stuck" in line for line in drawn(flow, "filter", covered=found))
    assert '-->|"full#60;' not in (text := mermaid(flow, found)) and '-->|"full<br/>so ' in text
    assert '-.->|"stuck"|' in text
