"""Where hands and people are when a shipped flow gives power, and what is seen directly. Common practice
throughout.
"""

from __future__ import annotations

import re

import pytest

from tests.helpers.jobs import Job
from tests.helpers.networks import rank
from wizard.diagnosis.network_builder import build
from wizard.domain.vocabulary import RepairOutcome
from wizard.engine.messages import commands as c
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Caution, Flow
from wizard.flow.model.acts import step_needs
from wizard.safety import fits

FLOWS = ("washer-shake", "washer-no-drain", "dryer-no-heat")
SEEN = [
    ("top-hung", "strap-bad", "straps"),
    ("top-base", "spring-bad", "springs"),
    ("front-loader", "spring-bad", "springs"),
    ("front-loader", "block-moves", "counterweight"),
    ("front-loader", "drive-loose", "drive"),
    ("top-base", "drive-loose", "drive"),
    ("front-loader", "stack-moves", "stack"),
    ("front-loader", "transit-in", "transit"),
]
"""Kind, what is seen directly, and the fault that it all but proves."""


@pytest.fixture(scope="module")
def flows() -> dict[str, Flow]:
    """The shipped flows."""
    return {name: load(folder_of(name)) for name in FLOWS}


def acts_of(flow: Flow) -> list[tuple[str, str, str, tuple[Caution, ...]]]:
    """Of each step and remedy its name, its reach, its words, and the warnings that stand before it."""
    found = [
        (f"{i.id}.{s.id}", s.reach, s.do, (*i.caution, *s.caution))
        for i in flow.inspections.values()
        for s in i.steps
        if s.reach
    ]
    remedies = [(f.id, f.remedy.reach, " ".join(f.remedy.do), f.remedy.caution) for f in flow.faults.values()]
    return [*found, *remedies]


@pytest.mark.parametrize("name", FLOWS)
def test_what_tilts_warns_of_what_falls(flows: dict[str, Flow], name: str) -> None:
    """Whoever tilts or lifts a machine, or reaches under it, is told that it could crush, fall, drop or topple."""
    weight = re.compile("crush|fall|drop|topple|heavy|weigh|kg")
    for act, reach, do, cautions in acts_of(flows[name]):
        if reach in ("raise", "let-down", "move", "lift", "under"):
            said = " ".join(caution.says for caution in cautions)
            assert weight.search(f"{said} {do}"), act


@pytest.mark.parametrize("fault", ["dampers-worn", "dampers-seized"])
def test_new_dampers_warn_of_the_tilt(flows: dict[str, Flow], fault: str) -> None:
    """The remedy warns as the tilt itself does: crush, 15 degrees at most."""
    said = " ".join(caution.says for caution in flows["washer-shake"].faults[fault].remedy.caution)
    assert "crush" in said and "15 degrees at most" in said


@pytest.mark.parametrize("name", FLOWS)
def test_every_text_names_the_same_limit_of_a_tilt(flows: dict[str, Flow], name: str) -> None:
    """15 degrees at most, since a washer's balance point lies at 26 to 34 degrees (an estimate, from memory)."""
    for act, _, do, cautions in acts_of(flows[name]):
        said = " ".join([do, *(caution.says for caution in cautions)])
        angles = set(re.findall(r"(\d+) degrees", said))
        assert angles <= {"15", "26"}, act
        assert ("15 degrees at most" in said) == bool(angles), act


@pytest.mark.parametrize("name", FLOWS)
def test_no_part_goes_in_before_its_price_is_agreed(flows: dict[str, Flow], name: str) -> None:
    """Every remedy with parts needs the customer's consent, which is asked anew for the next one."""
    for fault in flows[name].faults.values():
        needs = fault.remedy.needs.get("agreed")
        assert needs == ({"yes"} if fault.remedy.parts else None), fault.id
        assert not fault.remedy.parts or fault.remedy.may["agreed"] == {"yes", "no"}, fault.id


def test_what_is_said_of_a_repairs_worth_goes_by_the_age_given(flows: dict[str, Flow]) -> None:
    """One text for each age, and one where it is not known or not asked."""
    flow = flows["washer-shake"]
    for age, says in (
        ("under-2", "warranty"),
        ("2-to-8", "most repairs are worth it"),
        ("over-8", "costs more"),
    ):
        first = next(
            i
            for i in (flow.inspections[name] for name in flow.procedures)
            if i.id.startswith("consent") and fits(i.applies, {"age": age})
        )
        assert first.applies == {"age": (age,)} and says in first.steps[0].expect
        assert first.steps[0].reach == "talk"


def test_a_repair_that_is_not_agreed_is_not_made(flows: dict[str, Flow]) -> None:
    """Asked before anything is cut off for it; not agreed, the work can't be made ready, and may be declined."""
    flow = flows["washer-shake"]
    job = Job({f.id: f.usual or "-" for f in flow.facts}, flow=flow)
    job.do(c.Confirm(("feet",)))
    job.do(c.Prepare("feet"))
    asked = []
    while (run := job.state.run) is not None:
        asked.append(job.at)
        job.answer(*(("no",) if run.inspection.startswith("consent") else ()))
    assert asked[-1] == "consent-middle.price" and not {"power.plug", "power.cut"} & set(asked)
    assert job.refused(c.Prepare("feet")) == "barred"
    job.do(c.RecordRepair("feet", RepairOutcome.DECLINED, reason="Too dear; told that it walks."))


@pytest.mark.parametrize("name", FLOWS)
def test_what_runs_has_people_clear_and_hands_off_the_tub(flows: dict[str, Flow], name: str) -> None:
    """Each step in which the machine runs needs covers on, people clear and the wedge out of the drum."""
    flow = flows[name]
    running = [s for i in flow.inspections.values() for s in i.steps if s.reach == "run"]
    assert running
    for step in running:
        needs = step_needs(flow, step)
        assert (needs["front"], needs["people"], needs["wedge"]) == ({"on"}, {"clear"}, {"out"}), step.id


@pytest.mark.parametrize(("kind", "seen", "fault"), SEEN)
def test_what_is_seen_directly_all_but_proves_its_fault(
    flows: dict[str, Flow], kind: str, seen: str, fault: str
) -> None:
    """With nothing else known, a part seen torn, off or loose puts its fault on top, above 0.8."""
    first = rank(build(flows["washer-shake"], {"kind": kind}), {seen: 1.0})[0]
    assert first.fault == fault and first.probability > 0.8
