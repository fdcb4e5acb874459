"""A claim's line is read back; which way claims work; whoever looks for what a flow claims finds it once."""

from __future__ import annotations

from functools import lru_cache

import pytest

from tests.helpers.jobs import good
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import shipped
from wizard.flowcheck.approval.claim import Claim, ClaimPlace, PlaceKind, claim
from wizard.flowcheck.approval.claim_changes import ClaimShift, changes
from wizard.flowcheck.approval.claim_kinds import RULES_OF, Bearing, ClaimKind, Measure
from wizard.flowcheck.approval.flow_claims import claims


@lru_cache
def shipped_claims(name: str) -> tuple[Claim, ...]:
    """The claims of a shipped flow."""
    return claims(load(shipped()[name]))


def test_every_kind_has_a_rule_and_words_of_its_own() -> None:
    """No two kinds have the same words, and no words could be parted from their place wrongly."""
    assert set(RULES_OF) == set(ClaimKind)
    assert not [kind for kind in ClaimKind if " = " in kind.value or ": " in kind.value]


@pytest.mark.parametrize("name", [*sorted(shipped()), "good"])
def test_every_line_of_a_flow_is_read_back_and_none_is_there_twice(name: str) -> None:
    """The text of a claim holds all of it."""
    found = claims(good()) if name == "good" else shipped_claims(name)
    assert [Claim.read(str(one)) for one in found] == list(found)
    assert len({one.key for one in found}) == len(found) > 100


@pytest.mark.parametrize(
    "line",
    [
        "reach terminals: needs dead = proved",
        "reach terminals: needs supply = held, locked",
        "reach run: needs people = clear",
        "condition motion: holds while supply = cut, held, locked",
        "condition gas: left alone may turn from none = suspect",
        "condition gas: is latched at = stopped",
        "condition second: holds for one work",
        "condition people: is asked last",
        "reach run: begins where program = idle",
        "step power.try: is shown at reach = controls",
        "step power.try: needs people = clear",
        "step power.try: may change verified = no, yes",
        "step cooling.cooled: waits, in minutes, since supply = 30",
        "step power.plug: warns of = danger",
        "answer power.try hot: sets verified = yes",
        "answer power.settled hot: after so often stops for not-settled = 3",
        "answer power.plug not-sure: stops for = no-isolation",
        "stop gas: sends everybody outdoors",
        "stop gas: puts gas = stopped",
        "stop gas: calls: The gas emergency line, from outside the building",
        "limit dead-volts: has the band dead = below 10 V, pass",
    ],
)
def test_what_the_library_asks_for_is_among_the_claims(line: str) -> None:
    """As it stands in the files of the library, inherited or not; written here by hand from them."""
    assert line in {str(one) for one in shipped_claims("washer-shake")}


@pytest.mark.parametrize(
    "line",
    [
        "",
        "nothing",
        "reach: needs dead = no",
        "reach a b: needs dead = no",
        "reach a: wants dead = no",
        "step power: needs dead = no",
        "door a: needs dead = no",
        ": needs dead = no",
        "flow x: is proved by = a",
    ],
)
def test_what_is_no_claim_is_said(line: str) -> None:
    """A ValueError, whatever stands there."""
    with pytest.raises(ValueError):
        Claim.read(line)


def test_a_text_that_a_terminal_obeys_is_the_same_in_the_flow_and_in_the_file() -> None:
    """Else it would differ from its own approval for ever."""
    place = ClaimPlace(PlaceKind.STOP, ("gas",))
    one = claim(place, ClaimKind.CALL, "The \x1b[2J line = a, b")
    assert str(one) == "stop gas: calls: The \\x1b[2J line = a, b" and Claim.read(str(one)) == one


AT = ClaimPlace(PlaceKind.STEP, ("a.b",))
CASES = [
    (ClaimKind.NEEDS, ("x", "y"), ("x",), ClaimShift.STRONGER),
    (ClaimKind.NEEDS, ("x",), ("x", "y"), ClaimShift.WEAKER),
    (ClaimKind.NEEDS, ("x",), ("y",), ClaimShift.WEAKER),
    (ClaimKind.MAY, ("x",), ("x", "y"), ClaimShift.STRONGER),
    (ClaimKind.MAY, ("x", "y"), ("y",), ClaimShift.WEAKER),
    (ClaimKind.SETS, ("x", "y"), ("x",), ClaimShift.WEAKER),
    (ClaimKind.SETS, ("x",), ("x", "y"), ClaimShift.STRONGER),
    (ClaimKind.SAYS, ("x", "y"), ("x",), ClaimShift.WEAKER),
    (ClaimKind.SAYS, ("x",), ("x", "y"), ClaimShift.WEAKER),
    (ClaimKind.WAIT, ("0", "30"), ("5", "30"), ClaimShift.STRONGER),
    (ClaimKind.WAIT, ("0", "30"), ("0",), ClaimShift.WEAKER),
    (ClaimKind.WAIT, ("5",), ("5", "5"), ClaimShift.STRONGER),
    (ClaimKind.READS_TO, ("10 V",), ("20 V",), ClaimShift.WEAKER),
    (ClaimKind.READS_TO, ("10 V",), ("9 V",), ClaimShift.STRONGER),
    (ClaimKind.READS_TO, ("10 V",), ("9 mV",), ClaimShift.WEAKER),
    (ClaimKind.UNATTENDED, ("5",), ("6",), ClaimShift.WEAKER),
    (ClaimKind.UNATTENDED, ("5",), ("4",), ClaimShift.STRONGER),
    (ClaimKind.CAUTION, ("warning",), ("danger",), ClaimShift.STRONGER),
    (ClaimKind.CAUTION, ("danger", "caution"), ("danger",), ClaimShift.WEAKER),
    (ClaimKind.CAUTION, ("danger", "caution"), ("warning", "warning"), ClaimShift.WEAKER),
    (ClaimKind.ASKING_ORDER, ("x", "y"), ("x", "z", "y"), ClaimShift.OTHER),
    (ClaimKind.ASKING_ORDER, ("x", "y"), ("y", "x"), ClaimShift.WEAKER),
    (ClaimKind.ASKING_ORDER, ("x", "y"), ("x",), ClaimShift.WEAKER),
    (ClaimKind.SHOWN, ("inside",), ("look",), ClaimShift.WEAKER),
    (ClaimKind.SHOWN, ("look",), ("inside",), ClaimShift.STRONGER),
    (ClaimKind.SHOWN, ("no-such",), ("inside",), ClaimShift.WEAKER),
    (ClaimKind.STOPS, ("gas",), ("rcd",), ClaimShift.WEAKER),
]


@pytest.mark.parametrize(("kind", "was", "now", "shift"), CASES)
def test_which_way_a_change_works(
    kind: ClaimKind, was: tuple[str, ...], now: tuple[str, ...], shift: ClaimShift
) -> None:
    """Fewer values of a need ask for more, fewer of what may come of a step for less; both at once for less."""
    old, new = (claim(AT, kind, "", values) for values in (was, now))
    (found,) = changes([old], [new], good())
    assert found.shift is shift


@pytest.mark.parametrize("kind", list(ClaimKind))
def test_what_is_gone_and_what_is_new(kind: ClaimKind) -> None:
    """A demand that is gone weakens, one that is new strengthens; allowances the other way round, exact ones never."""
    one = claim(AT, kind, "", ("1",))
    (gone,), (new,) = changes([one], [], good()), changes([], [one], good())
    exact = one.measure is Measure.EXACT
    if one.bearing is Bearing.DEMAND:
        assert (gone.shift, new.shift) == (ClaimShift.WEAKER, ClaimShift.STRONGER)
    else:
        assert (gone.shift, new.shift) == (
            ClaimShift.WEAKER if exact else ClaimShift.STRONGER, ClaimShift.WEAKER,
        )  # fmt: skip


def test_nothing_differs_from_itself() -> None:
    """No claim of a flow is said to be changed where nothing was."""
    assert changes(claims(good()), claims(good()), good()) == ()
