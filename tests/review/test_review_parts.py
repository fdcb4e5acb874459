"""Parts: their counts on this machine, and codes that survive being written and read."""

import pytest
from jobs import good

from wizard.engine.state import Repair, State
from wizard.flow.evidence import Part
from wizard.flow.load import load
from wizard.flow.shipped import folder_of
from wizard.review.order import parts_list
from wizard.review.parts import Needed, count, needed, read


@pytest.mark.parametrize(
    ("facts", "number"), [({"dampers": "2"}, 2), ({"dampers": "3"}, 3), ({}, 1), ({"dampers": "many"}, 1)]
)
def test_count_is_the_machines_own(facts, number):
    """A set is as many as the machine has; without that fact, the part's own count."""
    assert count(Part("damper", "Damper", 1, "dampers"), facts) == number


def test_code_is_read_back():
    """What the journal holds gives the same part and count."""
    fault = good().faults["dampers-worn"]
    for part in needed(fault.remedy, {"dampers": "3"}):
        assert read(part.code, fault, {}) == part


@pytest.mark.parametrize(
    ("code", "expected"),
    [("damper", Needed("damper", "Damper", 3)), ("odd thing x2", Needed("odd thing", "odd thing", 2))],
)
def test_codes_without_count_or_of_unknown_parts(code, expected):
    """A code without a count is the set of this machine; an unknown part is shown as it stands."""
    assert read(code, good().faults["dampers-worn"], {"dampers": "3"}) == expected


def test_part_of_a_fault_that_is_gone():
    """A fault that the flow no longer has leaves the id."""
    assert read("damper x3", None, {}).words == "3 x damper"


@pytest.mark.parametrize(
    ("given", "line"),
    [
        ({}, "- Maker, model, serial number: not noted\n"),
        ({"model": "M 7"}, "- Maker, serial number: not noted\n"),
        ({"maker": "A", "model": "M 7", "serial": "12"}, ""),
    ],
)
def test_parts_list_says_what_nobody_read_off_the_plate(given, line):
    """Whoever orders sees at once that the plate has to be read first (common practice: parts go by its numbers)."""
    flow = load(folder_of("washer-no-drain"))
    usual = {f.id: f.usual for f in flow.facts if f.usual}
    state = State(
        facts={**usual, **given},
        decided=("pump-jammed",),
        repairs=(Repair(1, 1, "pump-jammed", "on-order", (), "", ()),),
    )
    listed = parts_list(flow, state)
    assert listed.count("not noted") == bool(line) and line in listed
