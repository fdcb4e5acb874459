"""The second shipped flow holds to the facts of its trade. Each is common practice, but where a source is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.helpers.flows.limit_edges import edges
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of, shipped
from wizard.flow.loading.static_check import examine
from wizard.flow.model import Flow, fits, reading_of
from wizard.flow.model.acts import acts, step_needs
from wizard.flow.parsing.flow_files import read_folder
from wizard.safety import Barred, Model

MACHINES = [
    {"kind": kind, "motor": motor, "pump": pump, "mains": mains}
    for kind in ("front-loader", "top-loader")
    for motor in ("inverter", "capacitor-run", "brushed", "not-known")
    for pump in ("two-wire", "three-wire")
    for mains in ("230", "120")
]


@pytest.fixture(scope="module")
def folder() -> Path:
    """The folder of the flow."""
    return folder_of("washer-no-drain")


@pytest.fixture(scope="module")
def flow(folder: Path) -> Flow:
    """The flow, checked."""
    return load(folder)


def test_it_is_shipped_and_the_check_finds_nothing(folder: Path) -> None:
    """The flow comes with the program, with neither errors nor warnings."""
    assert "washer-no-drain" in shipped()
    assert [str(p) for p in examine(read_folder(folder)).problems] == []


def test_it_is_written_in_toml_alone(folder: Path) -> None:
    """Nothing but TOML and drawings makes the flow: no code knows of it, but for an example in a command's help."""
    assert {p.suffix for p in folder.rglob("*") if p.is_file()} == {".toml", ".txt"}
    code = Path(__file__).parents[3] / "wizard"
    knowing = [p for p in code.rglob("*.py") if "no-drain" in p.read_text(encoding="utf-8")]
    assert {p.relative_to(code).parts[0] for p in knowing} <= {"cli"}


@pytest.mark.parametrize("facts", MACHINES, ids=lambda f: "-".join(f.values()))
def test_every_step_and_remedy_can_be_asked_for(flow: Flow, facts: dict[str, str]) -> None:
    """On every machine usual answers lead from nothing known to all that a step or a remedy needs."""
    model = Model.of(flow.conditions.values(), flow.reaches.values(), acts(flow), facts)
    for act in model.acts.values():
        assert not isinstance(model.chain(model.top(), act.needs), Barred), act.id


@pytest.mark.parametrize("facts", MACHINES, ids=lambda f: "-".join(f.values()))
def test_every_pump_is_measured_once(flow: Flow, facts: dict[str, str]) -> None:
    """A pump with a mains coil is measured across it, one on three wires between each two, never both; proved
    dead.
    """
    applying = [i for i in ("coil-230", "coil-120", "phases") if fits(flow.inspections[i].applies, facts)]
    assert applying == (["phases"] if facts["pump"] == "three-wire" else [f"coil-{facts['mains']}"])
    steps = [step for step in flow.inspections[applying[0]].steps if reading_of(step)]
    assert steps and all(step_needs(flow, step)["dead"] == {"proved"} for step in steps)


def test_only_front_loaders_have_a_filter_to_open(flow: Flow) -> None:
    """A top loader has no filter that is opened from outside, and its filter is never a fault."""
    assert (
        flow.inspections["filter"].applies == {"kind": ("front-loader",)}
        and flow.inspections["filter"].absent
    )
    assert set(flow.faults["filter"].share) == {"front-loader"}


def test_an_outlet_is_at_600_to_1000_mm(flow: Flow) -> None:
    """Fitting sheets of front loaders ask for an outlet at 0.6 to 1.0 m; one for a top loader may be higher."""
    front, top = (edges(flow, "hose-height", kind=kind) for kind in ("front-loader", "top-loader"))
    assert (front["low"], front["good"]) == pytest.approx((600, 1000))
    assert all(top[band] > front[band] for band in front)


def test_coils_of_equal_pumps_scale_with_the_mains_squared(flow: Flow) -> None:
    """P = V2/Z: at one power the coil for 230 V has 3.7 times the ohms of that for 120 V, more for a smaller pump."""
    high, low = edges(flow, "coil-230"), edges(flow, "coil-120")
    same, smaller = (230 / 120) ** 2, (230 / 120) ** 2 * 80 / 20
    for band in ("low", "good", "high"):
        assert same <= high[band] / low[band] <= smaller


@pytest.mark.parametrize(("limit", "volts", "watts"), [("coil-230", 230, 40), ("coil-120", 120, 80)])
def test_a_good_coil_is_below_its_impedance(flow: Flow, limit: str, volts: float, watts: float) -> None:
    """The ohms of a coil are less than V2/P, the impedance of a load that is nothing but ohms (Ohm's law)."""
    assert edges(flow, limit)["good"] < volts**2 / watts


def test_every_figure_says_where_it_comes_from(flow: Flow) -> None:
    """A figure of the trade is common practice or an estimate and says so; what is published names its standard."""
    for variants in flow.limits.values():
        for limit in variants:
            words = {"C": "common practice", "E": "estimate", "P": ("29 cfr", "en 50678")}[limit.status]
            assert any(w in limit.source.lower() for w in ([words] if isinstance(words, str) else words))


def test_the_voltages_are_those_of_the_rule(flow: Flow) -> None:
    """Live parts of 50 V or more are guarded (29 CFR 1910.303(g)(2)(i)): the bus must be below."""
    assert edges(flow, "stored-volts") == {"bled": pytest.approx(50)}
