"""Parts: their counts on this machine, and codes that survive being written and read."""

import pytest
from jobs import good

from wizard.flow.evidence import Part
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
