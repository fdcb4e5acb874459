"""The third shipped flow, an electric dryer, holds to the facts of its trade, and nothing in it speaks of a washer.

Each fact is common practice, but where a source is named.
"""

from __future__ import annotations

import math
import re
from itertools import product
from pathlib import Path

import pytest

from tests.helpers.flows.limit_edges import edges
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of, shipped
from wizard.flow.loading.static_check import examine
from wizard.flow.model import Flow, fits, reading_of
from wizard.flow.model.acts import acts, step_needs
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.approval.claim import PlaceKind
from wizard.flowcheck.approval.flow_claims import claims
from wizard.safety import Barred, Model

KEYS = ("kind", "legs", "motor", "sensor", "control", "joined")
MACHINES = [
    dict(zip(KEYS, values, strict=True))
    for values in product(
        ("vented", "condenser"), ("one", "two"), ("switched", "capacitor-run", "inverter", "not-known"),
        ("thermostat", "ntc-10"), ("timer", "board"), ("plug", "wired"),
    )
]  # fmt: skip
LIVE = {"one": {"L-N", "L-PE"}, "two": {"L-N", "L-PE", "L2-L1", "L2-N", "L2-PE"}}
"""Pairs of terminals that are live in a supply of one live wire, or of two legs."""

WASHERS = re.compile(
    r"\b(washers?|washing|tubs?|taps?|stopcock|sump|spring|springs|damper|dampers|spider|suds|detergent|"
    r"spin|spins|drain(s|ed)? (hose|pump|filter)|fill hose|wedge|front loader|top loader)\b",
    re.IGNORECASE,
)
"""Words of a machine that washes."""


@pytest.fixture(scope="module")
def folder() -> Path:
    """The folder of the flow."""
    return folder_of("dryer-no-heat")


@pytest.fixture(scope="module")
def flow(folder: Path) -> Flow:
    """The flow, checked."""
    return load(folder)


def test_it_is_shipped_and_the_check_finds_nothing(folder: Path) -> None:
    """The flow comes with the program, with neither errors nor warnings."""
    assert "dryer-no-heat" in shipped()
    assert [str(p) for p in examine(read_folder(folder)).problems] == []


def test_it_is_written_in_toml_alone(folder: Path) -> None:
    """Nothing but TOML and drawings makes the flow: no code knows of it."""
    assert {p.suffix for p in folder.rglob("*") if p.is_file()} == {".toml", ".txt"}
    code = Path(__file__).parents[3] / "wizard"
    assert not [p for p in code.rglob("*.py") if "no-heat" in p.read_text(encoding="utf-8")]


def test_every_step_and_remedy_can_be_asked_for(flow: Flow) -> None:
    """On every machine usual answers lead from nothing known to all that a step or a remedy needs."""
    for facts in MACHINES:
        known = {**facts, "dries": "yes", "age": "2-to-8", "place": "floor"}
        model = Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), known)
        for act in model.acts.values():
            assert not isinstance(model.chain(model.top(), act.needs), Barred), (facts, act.id)


def test_no_water_is_asked_for_and_no_tub(flow: Flow) -> None:
    """What a washer has and a dryer lacks is of no machine of it, and nothing establishes it."""
    for name in ("taps", "sump", "hoses", "joints", "filter", "tub", "support", "wedge", "lock", "tub-held"):
        assert name in flow.without
        assert not any(fits(flow.conditions[name].applies, facts) for facts in MACHINES), name
    assert not {"water", "joints", "sump", "tub", "drum", "door"} & set(flow.procedures)
    assert not {"tap-open", "tub-drop", "door-locked"} & set(flow.stops)


def test_what_is_asked_and_printed_of_a_dryer_has_no_word_of_a_washer(flow: Flow) -> None:
    """Steps, answers, conditions, stops and faults, the library's among them, as far as a dryer comes to them."""
    said: list[str] = [flow.title, flow.complaint, flow.notice, *flow.advice]
    facts = {fact.id: {value.id for value in fact.values} for fact in flow.facts}
    for one in flow.inspections.values():
        if all(facts.get(fact, set()) & set(values) for fact, values in one.applies.items()):
            said += [one.title, one.why, one.absent, *(c.says for c in one.caution)]
            for step in one.steps:
                said += [
                    step.do,
                    step.expect,
                    *(c.says for c in step.caution),
                    *(a.says for a in step.answers),
                ]
    for condition in flow.conditions.values():
        if condition.id not in flow.without and any(fits(condition.applies, m) for m in MACHINES):
            said += [condition.says, *condition.values.values(), *condition.handover.values()]
    for stop in flow.stops.values():
        said += [stop.says, stop.call, stop.release, *stop.make_safe]
    for fault in flow.faults.values():
        said += [
            fault.says,
            fault.plain,
            fault.hazard,
            fault.remedy.says,
            *fault.remedy.do,
            fault.remedy.risk,
        ]
        said += [*fault.remedy.companions, *(part.says for part in fault.remedy.parts)]
    assert [text for text in said if WASHERS.search(text)] == []


@pytest.mark.parametrize("legs", LIVE)
def test_every_live_wire_is_proved_dead_before_a_hand_goes_to_a_terminal(flow: Flow, legs: str) -> None:
    """29 CFR 1910.333(b)(2): each circuit element is tested, the tester proved before and after; half of a double
    breaker may stay live.
    """
    facts = {"kind": "vented", "legs": legs, "motor": "switched", "joined": "wired", "dries": "yes"}
    model = Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), facts)
    asked = model.chain(model.top(), model.needs(flow.reaches["terminals"].needs))
    assert not isinstance(asked, Barred)
    names = [str(act) for act in asked]
    measured = {
        place
        for act in asked
        for step in (flow.step(act),)
        if step is not None and (reading := reading_of(step)) and reading.tool == "two-pole-tester"
        for place in reading.places
    }
    assert measured >= LIVE[legs]
    proofs = [n for n, name in enumerate(names) if name in ("dead.tester", "dead.again", "second-leg.again")]
    volts = [n for n, name in enumerate(names) if name.endswith(".volts")]
    assert all(any(p < v for p in proofs) and any(p > v for p in proofs) for v in volts)


def test_no_step_reads_a_live_voltage(flow: Flow) -> None:
    """Volts are read with the supply held or locked off, or from the plate."""
    for inspection in flow.inspections.values():
        for step in inspection.steps:
            reading = reading_of(step)
            if reading and reading.unit == "V":
                plate = reading.tool == "plate-volts" and step.reach == "look"
                assert plate or step_needs(flow, step)["supply"] <= {"held", "locked"}


def test_a_cut_out_is_never_replaced_before_what_blew_it_is_known(flow: Flow) -> None:
    """Neither by its remedy's needs, nor with the way of the air blocked, and none is bridged by any text."""
    remedy = flow.faults["cutout"].remedy
    assert remedy.needs["blown-by"] == {"known"}
    ways = [a for a in acts(flow) if any(e.so.get("blown-by") == {"known"} for e in a.answers)]
    assert ways and all(act.needs["air"] == {"open"} for act in ways)
    assert "never bridged" in " ".join(c.says for c in remedy.caution)


def test_a_run_that_heats_has_the_half_hour_waited_for_anew(flow: Flow) -> None:
    """What was cool before a run is hot after it: each start of a dryer leaves it not cooled."""
    starts = [s for i in flow.inspections.values() for s in i.steps if s.reach == "run"]
    assert starts
    for step in starts:
        assert {"no"} <= step.may["cooled"] and all(
            a.so.get("cooled", {"no"}) == {"no"} for a in step.answers
        )


def test_a_blocked_vent_is_never_left_in_use(flow: Flow) -> None:
    """Fluff in the way of hot air burns houses down."""
    assert flow.reaches["left-in-use"].needs["air"] == {"open"}
    assert flow.faults["vent"].so == {"air": {"blocked"}}


@pytest.mark.parametrize(("volts", "watts"), [(240, 5500), (230, 2000), (230, 2700), (120, 1500)])
def test_a_whole_coil_of_the_usual_plates_lies_in_its_band(flow: Flow, volts: float, watts: float) -> None:
    """R = U^2 / P (Joule), with the power off its plate by +5 or -10 % (IEC 60335-1, clause 10; from memory)."""
    band = edges(flow, "heater")
    assert band["low"] <= volts**2 / (watts * 1.05) and volts**2 / (watts * 0.9) <= band["good"]
    share = edges(flow, "plate-share")
    assert share["lowish"] < 100 / 1.05 and share["good"] > 100 / 0.9


@pytest.mark.parametrize(("sensor", "ohms"), [("ntc-10", 10.0), ("ntc-5", 5.0)])
def test_a_good_thermistor_lies_in_its_band_in_a_room(flow: Flow, sensor: str, ohms: float) -> None:
    """R25 exp(B (1/T - 1/298.15 K)) with B of 3950 K (common practice), at 15 and at 30 degC, in kohm."""
    cold, warm = (ohms * math.exp(3950 * (1 / (t + 273.15) - 1 / 298.15)) for t in (15, 30))
    band = edges(flow, "thermistor", sensor=sensor)
    assert band["low"] <= warm < cold <= band["good"]


def test_every_figure_says_where_it_comes_from(flow: Flow) -> None:
    """A figure of the trade is common practice or an estimate and says so; what is published names its standard."""
    published = ("29 cfr", "en 50678", "iec 60335-1")
    words = {"C": ("common practice",), "E": ("estimate",), "P": published, "P*": published}
    for variants in flow.limits.values():
        for limit in variants:
            assert any(word in limit.source.lower() for word in words[limit.status]), limit.id


def test_what_a_dryer_lacks_is_claimed_and_so_approved(flow: Flow) -> None:
    """A person answers for each condition that is left out."""
    (lacks,) = (c for c in claims(flow) if c.place.kind is PlaceKind.FLOW and "without" in str(c))
    assert all(name in str(lacks) for name in flow.without)
