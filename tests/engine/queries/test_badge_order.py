"""What the badge says first: what stopped work, power, what may fall, burn, shock or move, and then the rest.

The order among equals is that of the library, which is the order of asking (EN 50110-1: disconnect, secure, verify).
"""

from __future__ import annotations

from functools import cache
from itertools import combinations

import pytest

from tests.engine.safety.test_hands_kept_away import forged
from tests.helpers.jobs import Job
from wizard.engine.queries.machine_view import badge
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow

NAMES = ("washer-shake", "washer-no-drain")


@cache
def flow(name: str = "washer-shake") -> Flow:
    return load(folder_of(name))


def job() -> Job:
    """A top-hung washer with an inverter; nothing is known of it."""
    facts = {f.id: f.usual or (f.values[0].id if f.values else "X1") for f in flow().facts}
    return Job(facts | {"kind": "top-hung", "motor": "inverter"}, flow())


def believed(**values: str) -> tuple[str, ...]:
    """The words of the badge where only this is known, told in this order."""
    here = job()
    for name, value in values.items():
        here.session.view = here.view.at(forged(here, name, value))
    return badge(here.view).words


def urgent() -> list[tuple[str, str, str]]:
    """Each urgent value of this machine with a word of its own, in the library's order: condition, value, word."""
    known = [flow().conditions[name] for name in job().view.model.conditions]
    return [(c.id, v, c.short[v]) for c in known for v in c.values if v in c.urgent and v in c.short]


def test_a_charge_is_named_before_a_cover_that_is_off() -> None:
    """What kills at a touch before what bares it, whichever was learned first."""
    for order in (("charge", "service"), ("service", "charge")):
        words = believed(supply="held", **{n: {"charge": "charged", "service": "off"}[n] for n in order})
        assert words == ("POWER HELD", "MAY HOLD CHARGE", "COVER OFF")


PAIRS = [pytest.param(a, b, id=f"{a[2]} before {b[2]}") for a, b in combinations(urgent(), 2) if a[0] != b[0]]


@pytest.mark.parametrize(("first", "second"), PAIRS)
def test_what_is_urgent_stands_in_the_librarys_order(first: tuple[str, ...], second: tuple[str, ...]) -> None:
    """Told in the other order, and beside words that reassure."""
    words = believed(verified="yes", supply="held", **{second[0]: second[1], first[0]: first[1]})
    assert words == ("POWER HELD", first[2], second[2])


def test_what_stopped_work_comes_before_power_and_power_before_what_is_urgent() -> None:
    """Three of four have room: the latch, the supply, what may fall."""
    words = believed(gas="stopped", supply="live", weight="propped", parts="off")
    assert words == ("GAS", "POWER ON", "PROPPED")


def test_what_reassures_has_room_only_behind_what_is_urgent() -> None:
    """PROVED DEAD and PEOPLE CLEAR leave their place to a wet joint."""
    quiet = believed(supply="held", dead="proved", people="clear")
    assert quiet == ("POWER HELD", "PROVED DEAD", "PEOPLE CLEAR")
    assert believed(supply="held", dead="proved", people="clear", joints="wet")[1] == "JOINT WET"


@pytest.mark.parametrize("name", NAMES)
def test_the_library_names_what_kills_before_what_bares_it(name: str) -> None:
    """Standing, motion and heat, charge; then what is off or open: the order of both shipped flows."""
    order = list(flow(name).conditions)
    wanted = ("weight", "supply", "motion", "heat", "charge", "parts", "service")
    assert [c for c in order if c in wanted] == list(wanted)
