"""Every way of a flow is listed once, as the static rules see it."""

from __future__ import annotations

import pytest

from tests.helpers.flows.flow_folders import GOOD
from wizard.flow.diagrams.step_links import LinkKind, conditions, links, parts
from wizard.flow.loading.flow_loader import load
from wizard.flow.model import Flow
from wizard.flow.rules.step_graph import edges


@pytest.fixture(scope="module")
def flow() -> Flow:
    """The small whole flow, with the library's procedures."""
    return load(GOOD)


def test_every_way_once(flow: Flow) -> None:
    """As many as the rules count, between the same steps, each with a key of its own."""
    for inspection in flow.inspections.values():
        found = links(inspection)
        ruled = [(e.start, e.end) for step in inspection.steps for e in edges(step)]
        assert [(link.step, link.goes) for link in found] == ruled
        assert len({link.key for link in found}) == len(found)


def test_a_way_back_is_bounded(flow: Flow) -> None:
    """What leads back by an answer says how often, or meets a way that does."""
    for inspection in flow.inspections.values():
        answers = [link for link in links(inspection) if link.kind is LinkKind.ANSWER]
        assert all(link.most or any(other.most for other in answers) for link in answers if link.back)


def test_what_is_so_stands_on_its_way(flow: Flow) -> None:
    """Whatever an answer says of the machine is on its way, and nothing else."""
    for inspection in flow.inspections.values():
        by_key = {str(link.key): link for link in links(inspection)}
        for step in inspection.steps:
            for answer in step.answers:
                assert by_key[f"{inspection.id}.{step.id}:{answer.id}"].so == conditions(answer.so)


def test_every_inspection_is_in_one_part(flow: Flow) -> None:
    """The parts of a job hold each inspection and each procedure once."""
    names = [name for part in parts(flow).values() for name in part]
    assert sorted(names) == sorted(flow.inspections)
