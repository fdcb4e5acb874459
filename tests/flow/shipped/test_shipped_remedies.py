"""Remedies and plain words of the flows that come with the program: one thing each, or alternatives to choose from."""

from __future__ import annotations

import re

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


TAKEN_OUT = re.compile(r"\b(tub and drum|tub|drum|basket) out\b|\btake (the )?tub\b", re.IGNORECASE)


def test_what_takes_the_tub_or_the_drum_out_leaves_nothing_known_of_how_they_stood() -> None:
    """How it hangs, what wedges the drum and what blocks the tub were seen before it came out (common practice)."""
    found = [
        fault.remedy
        for fault in load(folder_of("washer-shake")).faults.values()
        if any(TAKEN_OUT.search(line) for line in fault.remedy.do)
    ]
    assert len(found) >= 3
    for remedy in found:
        assert {"hang", "wedge", "support", "parts"} <= remedy.may.keys(), remedy.says
