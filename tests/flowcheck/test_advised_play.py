"""The advice followed through the cases of the shipped flow: how they end, and their minutes beside the order's."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.helpers.flows.case_dicts import WORN, case
from tests.helpers.jobs import good
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flowcheck.cases.advised_play import Compared, as_came, compare
from wizard.flowcheck.cases.case_player import play

KINDS = ("fl", "hung", "base")
OTHERWISE = {
    # Attempts at steps that the advice doesn't come to.
    "try-early": ("attempt",),
    "try-jump": ("attempt",),
    "try-pause": ("attempt",),
    "try-proving": ("attempt",),
    "try-restart": ("attempt",),
    "try-transit": ("attempt",),
    "try-undo": ("attempt",),
    # The blow that bars a spin is heard in the empty spin, which was not needed to know the fault.
    "way-base-cracked": ("strike",),
}
"""Cases that end otherwise by the advice, with the first words of what is told."""


def differs(both: Compared) -> tuple[str, ...]:
    """The first words of what is told of a case by the advice."""
    return tuple(dict.fromkeys(p.replace(":", " ").split()[0] for p in both.advice.problems))


def hidden(cases: tuple[Case, ...]) -> Iterator[Case]:
    """The cases with a fault hidden that expect it on top."""
    return (c for c in cases if c.expect.top)


@pytest.fixture(scope="module")
def flow() -> Flow:
    """The shipped flow."""
    return load(folder_of("washer-shake"))


@pytest.fixture(scope="module")
def cases(flow: Flow) -> tuple[Case, ...]:
    """Its cases."""
    return load_cases(folder_of("washer-shake"), flow)


def shorter(flow: Flow, cases: list[Case]) -> None:
    """Assert the same end by the advice, in at most three quarters of the minutes of all these cases.

    Minutes are of the whole job, repairs and proofs among them, which the advice can't shorten. Only a machine that
    has nothing may take longer, a twentieth at most: its proof is then the best check.
    """
    found = [compare(flow, c) for c in cases]
    assert {b.advice.case: b.advice.problems for b in found if not b.advice.ok} == {}
    longer = {b.order.top for b in found if b.advice.minutes > b.order.minutes}
    assert longer <= {"normal"} and all(b.advice.minutes <= 1.05 * b.order.minutes for b in found)
    assert sum(b.advice.minutes for b in found) <= 0.75 * sum(b.order.minutes for b in found)


def plain(cases: tuple[Case, ...]) -> list[Case]:
    """One case a fault and kind of machine."""
    return [c for c in hidden(cases) if c.id.rpartition("-")[2] in KINDS and c.id not in OTHERWISE]


def test_some_faults_end_as_they_say_in_fewer_minutes(flow: Flow, cases: tuple[Case, ...]) -> None:
    """Every fourth fault and kind."""
    assert len(plain(cases)[::4]) > 12
    shorter(flow, plain(cases)[::4])


@pytest.mark.nightly
def test_each_fault_of_each_kind_ends_as_it_says_in_fewer_minutes(
    flow: Flow, cases: tuple[Case, ...]
) -> None:
    """All of them."""
    assert len(plain(cases)) > 50
    shorter(flow, plain(cases))


def test_the_cases_that_end_otherwise_are_known(flow: Flow, cases: tuple[Case, ...]) -> None:
    """What the advice ends before coming to it is listed by case, and tells just this."""
    found = {c.id: compare(flow, c) for c in cases if c.id in OTHERWISE}
    assert {name: differs(both) for name, both in found.items()} == OTHERWISE
    assert all(both.order.ok for both in found.values())


@pytest.mark.nightly
def test_every_other_case_ends_as_it_says(flow: Flow, cases: tuple[Case, ...]) -> None:
    """All cases that expect a fault on top, misled ones too."""
    found = [compare(flow, c) for c in hidden(cases) if c.id not in OTHERWISE]
    assert len(found) > 200 and {b.advice.case: b.advice.problems for b in found if not b.advice.ok} == {}


def test_nothing_that_is_needed_is_left_out_by_the_advice(flow: Flow, cases: tuple[Case, ...]) -> None:
    """The same is asked before hands go in, and before a spin, as in the flow's own order.

    What the order asks in an inspection of its own, as whether anything forbids a spin, is asked before power; the
    towels that it takes out behind its last bag are asked for at the handover.
    """
    both = compare(flow, next(c for c in cases if c.id == "dampers-worn"))
    order, advice = ({str(p.step) for p in one.path if p.condition} for one in (both.order, both.advice))
    assert {"before.danger", "power.plug", "power.try", "dead.volts", "dead.again", "closing.count"} <= advice
    assert advice <= order | {
        "no-spin.load",
        "no-spin.transit",
        "known-bad.known",
        "before-spin.seen",
        "in-drum.out",
    }


def test_what_the_order_heard_before_the_repair_is_not_words_after_it() -> None:
    """A step that the advice comes to only after the repair gives what a mended machine gives."""
    played = play(good(), case())
    came = set(map(str, as_came(played.records)))
    assert "dampers.pull" in came and set(WORN) <= came
    assert not any(step.startswith("spin.") for step in came)


def test_a_table_has_both(flow: Flow) -> None:
    """The job by the advice, and how the flow's own order ended."""
    table = compare(good(), case()).as_table()
    assert table["follow"] == "advice" and table["order"]["ok"] and table["order"]["minutes"] > 0
