"""What is pressed and let go swings free: no wedge, and nothing bare and live beside it (common practice)."""

from __future__ import annotations

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flow.model.acts import step_needs


@pytest.mark.parametrize("name", ["pads.recorded", "bounce.recorded", "bounce-hung.recorded"])
def test_a_tub_is_let_go_with_the_wedge_out_and_nothing_bare_beside_it(name):
    flow = load(shipped()["washer-shake"])
    inspection, step = name.split(".")
    needs = step_needs(flow, flow.inspections[inspection].step(step))
    assert needs["wedge"] == {"out"} and needs["service"] == {"on"} and needs["tub"] == {"free"}
    if name == "pads.recorded":
        assert needs["dead"] == {"proved"}, "the cabinet may be off for it"
