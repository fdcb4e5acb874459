"""A drum that is believed still though the power is on again: what it would show, and where nobody could be hurt."""

import pytest

from tests.helpers.jobs import Job, good
from wizard.engine.messages import commands as c
from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.parsing.flow_files import MACHINE, read_folder

ALONE = 'alone = { still = ["turning"], turning = ["still"] }\n'
HOLDS = ALONE + 'while = { supply = ["cut", "held", "locked"] }'
WIDENED = ALONE + 'while = { supply = ["live", "cut", "held", "locked"] }'


def washer(*, widened: bool) -> Flow:
    """The shipped flow for a washer that shakes; or one whose drum stays still, whatever becomes of the power."""
    files = dict(read_folder(folder_of("washer-shake")))
    machine = files[MACHINE].decode()
    assert HOLDS in machine
    return load_files({**files, MACHINE: (machine.replace(HOLDS, WIDENED) if widened else machine).encode()})


def drained_and_back(flow: Flow) -> Job:
    """Hands were at the machine with its plug out; its pump ran; and the hands go back."""
    facts = {fact.id: fact.usual or (fact.values[0].id if fact.values else "2") for fact in flow.facts}
    job = Job({**facts, "kind": "front-loader"}, flow)
    job.come_to("no-spin", "transit")
    job.answer("none")
    job.do(c.Leave())
    job.come_to("drain", "pump")
    job.answer()
    assert job.believed("supply") == {"live"}
    job.do(c.Leave())
    job.do(c.OpenInspection("no-spin", "transit"))
    while job.state.run is not None and job.state.run.at != "transit":
        job.answer()
    return job


@pytest.mark.parametrize("widened", [False, True])
def test_the_washer_flow_asks_of_the_drum_again_once_power_was_on(widened: bool) -> None:
    """With the power off before the hands go near; were its belief widened, they went there with the power on."""
    job = drained_and_back(washer(widened=widened))
    assert job.believed("motion") == {"still"}
    assert job.believed("supply") == ({"live"} if widened else {"cut"})


def test_in_the_small_flow_nobody_is_hurt_by_it() -> None:
    """What needs the drum still needs the cut-off off, or the controls tried, too: steps that ask of the drum anew."""
    rules = Rules.of(good())
    needing = [act.needs for act in rules.acts if "motion" in act.needs]
    needing += [reach.needs for reach in good().reaches.values() if "motion" in reach.needs]
    assert len(needing) > 30
    assert all("cut" in needs["supply"] or needs["verified"] == {"yes"} for needs in needing)
    asking = {str(act.id): act.may for act in rules.acts}
    assert all("motion" in asking[step] for step in ("power.cut", "power.try"))
