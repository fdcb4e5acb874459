"""Building a network from a flow and the facts of a machine."""

from __future__ import annotations

import numpy as np
import pytest

from tests.helpers.networks import rank
from wizard.diagnosis.network_builder import Networks, build
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Fault, Finding, Flow, Remedy


def flow() -> Flow:
    """A flow with two kinds of machine, three faults and three findings."""
    mend = Remedy(says="Mend it", do=("Mend it.",), minutes=20, reach="drum")
    faults = [
        Fault(id="feet", says="feet rock", plain="The feet rocked.", share={"FL": 60, "TL": 40}, remedy=mend),
        Fault(id="rods", says="rods worn", plain="The rods were worn.", share={"TL": 50}, remedy=mend),
        Fault(
            id="normal",
            says="normal for its kind",
            plain="It is as it should be.",
            share={"FL": 40, "TL": 10},
            remedy=mend,
            alone=True,
        ),
    ]
    findings = [
        Finding(id="rocks", says="a foot lifts", leak=0.05, weights={"feet": 0.8}),
        Finding(
            id="bounces",
            says="swings on",
            leak=0.04,
            weights={"rods": 0.7, "feet": 0.1},
            applies={"kind": ("TL",)},
        ),
        Finding(id="short", says="short sway only", leak=0.1, weights={"normal": 0.7}),
    ]
    return Flow(
        id="demo", title="Demo", complaint="shakes", version="1", digest="", notice="", kind="kind", facts=(),
        inspections={}, find=(), prove=(), leave="", handover="", conditions={}, reaches={},
        faults={each.id: each for each in faults}, findings={each.id: each for each in findings},
        limits={}, tools={}, stops={}, drawings={}, occupancy=0.3,
    )  # fmt: skip


def test_kind_limits_faults_and_findings() -> None:
    """A front loader has no rods and no finding of rods; a top loader has both."""
    front, top = build(flow(), {"kind": "FL"}), build(flow(), {"kind": "TL"})
    assert front.faults == ("feet", "normal") and front.findings == ("rocks", "short")
    assert top.faults == ("feet", "rods", "normal") and top.findings == ("rocks", "bounces", "short")


def test_numbers_are_the_flows() -> None:
    """Priors are occupancy times share, weights and leaks as written, 0 where left out."""
    top = build(flow(), {"kind": "TL", "drive": "belt"})
    np.testing.assert_allclose(top.priors, [0.12, 0.15, 0.03])
    np.testing.assert_allclose(top.weights, [[0.8, 0.1, 0], [0, 0.7, 0], [0, 0, 0.7]])
    np.testing.assert_allclose(top.leaks, [0.05, 0.04, 0.1])
    assert (
        top.alone == ("normal",)
        and top.say_fault("rods") == "rods worn"
        and top.say_finding("rocks") == "a foot lifts"
    )


def test_it_ranks() -> None:
    """A top loader that swings on has worn rods first."""
    assert rank(build(flow(), {"kind": "TL"}), {"bounces": 1.0, "rocks": 0.0})[0].fault == "rods"


@pytest.mark.parametrize(
    ("text", "machine"), [("no answer for 'kind'", {}), ("share of kind 'twin'", {"kind": "twin"})]
)
def test_machine_without_a_kind_is_an_error(text, machine) -> None:
    """Without an answer to the kind, or with one that no fault knows, it says so."""
    with pytest.raises(ValueError, match=text):
        build(flow(), machine)


def test_a_network_is_built_once_for_machines_that_it_is_the_same_for() -> None:
    """Each is as it would be built anew; of the shipped flow machines that differ in a serial number share theirs."""
    flow = load(folder_of("washer-shake"))
    networks = Networks.of(flow)
    plain = {"kind": "front-loader", "motor": "brushed", "serial": "X1"}
    machines = [plain, {**plain, "serial": "X2"}, {**plain, "motor": "direct"}, {**plain, "kind": "top-hung"}]
    for machine in machines:
        once, anew = networks.of_machine(machine), build(flow, machine)
        assert (once.faults, once.findings) == (anew.faults, anew.findings)
        assert np.array_equal(once.by_severity, anew.by_severity) and np.array_equal(once.priors, anew.priors)
    assert networks.of_machine(machines[0]) is networks.of_machine(machines[1])
    read = {
        *(fact for one in flow.findings.values() for fact in one.applies),
        *(fact for one in flow.faults.values() for fact in one.unless),
    }
    assert {flow.kind, *read} == set(networks.deciding)
