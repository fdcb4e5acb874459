"""Remedies and plain words of the flows that come with the program: one thing each, or alternatives to choose from."""

from __future__ import annotations

import pytest

from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Fault

FAULTS = [
    pytest.param(fault, id=f"{name}-{fault.id}")
    for name in ("washer-shake", "washer-no-drain", "dryer-no-heat")
    for fault in load(folder_of(name)).faults.values()
]


@pytest.mark.parametrize("fault", FAULTS)
def test_a_remedy_of_one_thing_or_another_has_alternatives(fault: Fault) -> None:
    """Else the paper says that one or the other was done."""
    assert " or " not in fault.remedy.says or fault.remedy.alternatives
    assert not [a.says for a in fault.remedy.alternatives if " or " in a.says.replace("pulley or rotor", "")]


@pytest.mark.parametrize("fault", FAULTS)
def test_plain_words_say_no_more_than_was_seen(fault: Fault) -> None:
    """One look is enough to confirm it, so its plain words name no second thing that it might be."""
    assert " or " not in fault.plain and "worn out, " not in fault.plain
