"""A top loader that gets no water before its spin: led to the taps with the plug out, and stopped by its own reason."""

from __future__ import annotations

from functools import cache

from tests.helpers.jobs import Job
from wizard.domain.vocabulary import JobState
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow


@cache
def shake() -> Flow:
    """The shipped flow."""
    return load(folder_of("washer-shake"), lambda _digest: True)


def before_the_spin() -> Job:
    """A hung top loader, all known but whether both taps are on."""
    job = Job({f.id: f.usual for f in shake().facts} | {"serial": "X1", "kind": "top-hung"}, shake())
    job.do(c.OpenInspection("baseline"))
    while job.at != "refill.on":
        assert job.state.run is not None
        job.answer()
    return job


def test_who_sees_a_tap_off_is_led_to_it_with_the_plug_out() -> None:
    """'No' says that one is off: they are opened by the step that needs the plug out, and looked at again."""
    job = before_the_spin()
    job.answer("no")
    assert job.at == "water.open" and job.believed("supply") == {"held"}
    job.answer()
    while job.at == "joints.dry":
        job.answer()
    assert job.at == "refill.on"


def test_no_water_has_a_stop_of_its_own() -> None:
    """Said three times and once more, work stops for the water, and not for covers that can't be put on."""
    job = before_the_spin()
    for _ in range(20):
        if job.state.job is JobState.STOPPED:
            break
        job.answer(*(("no",) if job.at == "refill.on" else ()))
    (stop,) = [shake().stops[h.stop] for h in job.state.stops]
    assert "water" in stop.says and "closed up" not in stop.says
