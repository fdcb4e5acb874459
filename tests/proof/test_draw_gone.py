"""Which ways the cases go, by the keys of a drawing."""

from __future__ import annotations

import pytest

from wizard.flow.case_files import load_case
from wizard.flow.draw import drawn, links, mermaid
from wizard.flow.load import load
from wizard.flow.model import Flow
from wizard.flow.shipped import shipped
from wizard.proof.gone import gone
from wizard.proof.play import play

FOLDER = shipped()["washer-no-drain"]


@pytest.fixture(scope="module")
def flow() -> Flow:
    """The second shipped flow."""
    return load(FOLDER)


def keys(flow: Flow, *names: str) -> frozenset[str]:
    """The ways that these cases go."""
    return gone(flow, [play(flow, load_case(FOLDER / "cases" / f"{n}.toml", flow)) for n in names])


def test_every_key_is_a_way_of_the_flow(flow: Flow) -> None:
    """Nothing is covered that isn't there."""
    every = {link.key for i in flow.inspections.values() for link in links(i)}
    found = keys(flow, "filter-fl", "jammed-fl", "stop-front-still-not-yet", "stop-front-before-unable")
    assert found <= every and len(found) > 50


def test_answers_and_ticks(flow: Flow) -> None:
    """A chosen answer, each of several ticked ones, and a verdict."""
    found = keys(flow, "jammed-fl")
    assert {
        "arrival.noises:hums",
        "arrival.noises:rattles",
        "filter.wheel:stuck",
        "drain-test.time:pass",
    } <= found
    assert "arrival.noises:slow" not in found


def test_a_used_up_loop_is_a_way_of_its_own(flow: Flow) -> None:
    """Three times back and then the stop: both ways are covered; once back covers only the first."""
    assert {"gate-isolate-front.still:not-yet", "gate-isolate-front.still:not-yet:then"} <= keys(
        flow, "stop-front-still-not-yet"
    )
    once = keys(flow, "second-try-fl")
    assert "gate-isolate-front.still:not-yet" in once and "gate-isolate-front.still:not-yet:then" not in once


def test_unable_is_covered_where_a_case_says_so(flow: Flow) -> None:
    """'unable' is a way too."""
    assert "gate-isolate-front.before:unable" in keys(flow, "stop-front-before-unable")
    assert not [k for k in keys(flow, "filter-fl") if k.endswith(":unable")]


def test_the_drawings_mark_it(flow: Flow) -> None:
    """What is covered is solid on the page and ticked in the terminal."""
    found = keys(flow, "filter-fl")
    assert any("✓ full" in line for line in drawn(flow, "filter", covered=found))
    assert any("✗ stuck" in line for line in drawn(flow, "filter", covered=found))
    assert (
        '-->|"full#60;' not in (text := mermaid(flow, found)) and '-->|"full<br/>owes filter-open"|' in text
    )
    assert '-.->|"stuck"|' in text
