"""Every way of a flow is listed once, as the static rules and the engine's machine see it."""

from __future__ import annotations

import pytest

from tests.flow.folders import GOOD
from wizard.engine.machine import RunMachine
from wizard.flow.draw.links import links
from wizard.flow.load import load
from wizard.flow.model import END, Flow
from wizard.flow.rules.graph import edges
from wizard.flow.shipped import shipped


@pytest.fixture(scope="module", params=["good", "washer-no-drain"])
def flow(request: pytest.FixtureRequest) -> Flow:
    """A sound flow."""
    return load(GOOD if request.param == "good" else shipped()[request.param])


def test_every_way_once(flow: Flow) -> None:
    """As many as the rules count, between the same steps, each with a key of its own."""
    for inspection in flow.inspections.values():
        found = links(inspection)
        ruled = [(e.start, e.end) for step in inspection.steps for e in edges(step)]
        assert [(link.step, link.goes) for link in found] == ruled
        assert len({link.key for link in found}) == len(found)


def test_ways_are_those_of_the_engine(flow: Flow) -> None:
    """The machine that decides knows each way and takes it to the same step."""
    machine = RunMachine(flow)
    for inspection in flow.inspections.values():
        for link in links(inspection):
            target = machine.after(inspection.id, link.step, link.answer, exhausted=link.kind == "then")
            assert target == (END if link.stop else link.goes) or link.stop


def test_a_way_back_is_bounded(flow: Flow) -> None:
    """What leads back by an answer says how often, or meets a way that does."""
    for inspection in flow.inspections.values():
        back = [link for link in links(inspection) if link.back and link.kind == "answer"]
        assert all(link.most or any(b.most for b in links(inspection) if b.kind == "answer") for link in back)


def test_effects_are_all_there(flow: Flow) -> None:
    """Whatever an answer owes, pays, bars, lifts and ends stands on its way."""
    for inspection in flow.inspections.values():
        by_key = {link.key: link for link in links(inspection)}
        for step in inspection.steps:
            for answer in step.answers:
                has = by_key[f"{inspection.id}.{step.id}:{answer.id}"].effects
                wanted = [
                    *(("owes", d) for d in answer.owe),
                    *(("pays", d) for d in answer.pay),
                    *(("bars", b) for b in answer.bar),
                    *(("lifts", b) for b in answer.lift),
                    *(("ends", s) for s in answer.voids),
                ]
                assert list(has) == wanted
