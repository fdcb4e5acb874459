"""Parts: their counts on this machine, and those of a repair by their names."""

import pytest

from tests.helpers.jobs import good
from wizard.documents.content.part_counts import Needed, named, needed
from wizard.documents.papers.parts_order import parts_order
from wizard.documents.writers.markdown import MARKDOWN
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.messages.repair_parts import PartFitted, set_size, whole_sets
from wizard.engine.state.job_state import Repair, State
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Part


@pytest.mark.parametrize(
    ("facts", "number"), [({"dampers": "2"}, 2), ({"dampers": "3"}, 3), ({}, 1), ({"dampers": "many"}, 1)]
)
def test_count_is_the_machines_own(facts, number):
    """A set is as many as the machine has; without that fact, the part's own count."""
    assert set_size(Part("damper", "Damper", 1, "dampers"), facts) == number


def test_what_a_remedy_needs_is_named_as_it_was_fitted():
    """Fitted whole, the parts of a repair are those that its remedy needs here."""
    fault = good().faults["dampers-worn"]
    facts = {"dampers": "3"}
    parts = needed(fault.remedy, facts)
    assert parts == (Needed("damper", "Damper", 3), Needed("pin-set", "Set of pins", 1))
    assert tuple(p.fitted for p in parts) == whole_sets(fault.remedy, facts)
    assert named(whole_sets(fault.remedy, facts), fault) == parts


def test_a_part_that_the_flow_does_not_have_is_shown_by_its_id():
    """A journal of another flow, or of a fault that is gone: its own words and count."""
    odd = (PartFitted("odd thing", 2), PartFitted("damper", 3))
    assert [p.words for p in named(odd, good().faults["dampers-worn"])] == ["2 x odd thing", "3 x Damper"]
    assert [p.words for p in named(odd, None)] == ["2 x odd thing", "3 x damper"]


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
    flow = load(folder_of("washer-no-drain"), lambda _digest: True)
    usual = {f.id: f.usual for f in flow.facts if f.usual}
    state = State(
        facts={**usual, **given},
        decided=("pump-jammed",),
        repairs=(Repair(1, 1, "pump-jammed", RepairOutcome.ON_ORDER, (), "", ()),),
    )
    listed = MARKDOWN.write(parts_order(JobView.of(flow, state))).decode()
    assert listed.count("not noted") == bool(line) and line in listed
