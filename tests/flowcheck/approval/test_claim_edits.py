"""Whoever takes out of a shipped flow or the library what keeps people safe is found: all such edits, one by one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from copy import deepcopy

import pytest

from tests.helpers.flows.claim_edits import (
    MACHINE,
    MAIN,
    Documents,
    Edit,
    Sources,
    batches,
    edits,
    reach_needs,
)
from wizard.flow.declaring.decode import decode
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model import Flow, Reach
from wizard.flow.model.machine import ReachTable
from wizard.flow.parsing.flow_assembly import reaches
from wizard.flowcheck.approval import machine_claims
from wizard.flowcheck.approval.claim import Claim
from wizard.flowcheck.approval.claim_changes import ClaimShift, changes
from wizard.flowcheck.approval.flow_claims import claims

FLOWS = ("washer-no-drain", "washer-shake")
CLOSED = {"alone-fewer": 13}
"""Edits that change nothing: a condition turns into the same by way of another of its values."""


def weaker(before: tuple[Claim, ...], after: tuple[Claim, ...], flow: Flow) -> list[str]:
    """The lines of what is said to be weaker."""
    return [str(c.claim) for c in changes(before, after, flow) if c.shift is ClaimShift.WEAKER]


@pytest.mark.parametrize("name", FLOWS)
def test_every_edit_that_asks_for_less_is_found(name: str) -> None:
    """Thousands of them, of every kind of claim; what is not found changes nothing of the flow that is built."""
    sources = Sources.of(folder_of(name))
    was = sources.built()
    before, missed, tried = claims(was), list[Edit](), Counter[str]()
    for batch in batches(edits(sources)):
        flow = sources.built(*batch)
        found = weaker(before, claims(flow), flow)
        tried.update(edit.kind for edit in batch)
        missed += [edit for edit in batch if not any(line.startswith(edit.line) for line in found)]
    assert Counter(edit.kind for edit in missed) == CLOSED
    assert all(sources.built(edit) == was for edit in missed)
    assert tried.total() > 2500 and len(tried) > 60, tried


def reaches_of(documents: Documents) -> dict[str, Reach]:
    """The reaches of a library and a flow, with all that they inherit."""
    library, own = (
        [decode(ReachTable, t) for t in documents[file].get("reach", ())] for file in (MACHINE, MAIN)
    )
    return reaches(library, own)


@pytest.mark.parametrize("name", FLOWS)
def test_every_need_of_every_row_of_reaches_is_missed_when_it_is_gone_or_wider(name: str) -> None:
    """One by one, since they are inherited. What is not found is asked by another row all the same: nothing changes."""
    sources = Sources.of(folder_of(name))
    documents = {file: {"reach": sources.documents[file].get("reach", [])} for file in (MACHINE, MAIN)}
    was = reaches_of(documents)
    assert was == sources.built().reaches
    flow, before = sources.built(), claims_of(was)
    tried, unchanged = Counter[str](), Counter[str]()
    for edit in reach_needs(sources):
        changed = deepcopy(documents)
        edit.act(changed)
        now = reaches_of(changed)
        found = weaker(before, claims_of(now), flow)
        tried[edit.kind] += 1
        if now == was:
            unchanged[edit.kind] += 1
        else:
            assert any(line.startswith(edit.line) for line in found), edit
    assert tried["reach-need-gone"] > 140 and tried["reach-need-wider"] > 160
    assert unchanged["reach-need-gone"] <= 1 and unchanged["reach-need-wider"] < 16


def claims_of(some: Mapping[str, Reach]) -> tuple[Claim, ...]:
    """The claims of reaches."""
    return tuple(claim for one in some.values() for claim in machine_claims.reach(one))


TURNED = {
    "limit dead-volts: has the band dead": ("limit", "dead-volts", lambda t: t["band"][0].update(below=400)),
    "limit dead-volts: has the band stray": (
        "limit",
        "dead-volts",
        lambda t: t["band"][1].update(verdict="pass"),
    ),
    "tool two-pole-tester: is used at reach": ("tool", "two-pole-tester", lambda t: t.update(reach="touch")),
    "stop gas: is over when:": ("stop", "gas", lambda t: t.update(release="Anybody says so.")),
    "condition dead: holds while supply": ("condition", "dead", lambda t: t["while"].update(supply=["live"])),
    "reach terminals: needs heat": ("reach", "terminals", lambda t: t.update({"from": "controls"})),
}
"""What must be said to be weaker, and what of the library is turned round for it."""


@pytest.mark.parametrize("line", TURNED)
def test_what_is_turned_round_is_found(line: str) -> None:
    """An edge, a verdict, a tool's reach, who ends a stop, what a proof rests on, what a reach comes from."""
    key, name, turn = TURNED[line]

    def act(documents: Documents) -> None:
        turn(next(table for table in documents[MACHINE][key] if table["id"] == name))

    sources = Sources.of(folder_of("washer-shake"))
    flow = sources.built(Edit("turned", line, act))
    assert any(one.startswith(line) for one in weaker(claims(sources.built()), claims(flow), flow))


def test_words_that_change_places_are_found() -> None:
    """'Still and cool' and 'turns, or hot' exchanged: each answer still says the same of the machine, and a person
    reads the opposite. Another step's words are found as well.
    """
    file = "library/procedures/isolation/power.toml"

    def act(documents: Documents) -> None:
        steps = {step["id"]: step for step in documents[file]["step"]}
        dark, hot = (next(a for a in steps["try"]["answer"] if a["id"] == i) for i in ("dark", "hot"))
        dark["says"], hot["says"] = hot["says"], dark["says"]
        steps["plug"]["do"] = "Leave the plug where it is."

    sources = Sources.of(folder_of("washer-shake"))
    flow = sources.built(Edit("words", "", act))
    found = weaker(claims(sources.built()), claims(flow), flow)
    for line in (
        "answer power.try dark: ",
        "answer power.try hot: ",
        "step power.plug: is done by the words: ",
    ):
        assert any(one.startswith(line) for one in found), line
    assert len(found) == 3


@pytest.mark.parametrize("key", ["condition", "procedures"])
def test_another_order_of_asking_is_found(key: str) -> None:
    """People are asked last, just before power; two that change places are named."""

    def act(documents: Documents) -> None:
        some = documents[MACHINE][key]
        some[3], some[7] = some[7], some[3]

    sources = Sources.of(folder_of("washer-shake"))
    flow = sources.built(Edit("order", key, act))
    (line,) = weaker(claims(sources.built()), claims(flow), flow)
    assert line.startswith("flow: asks")


def test_whoever_puts_it_back_or_asks_for_more_is_told_so_and_not_stopped() -> None:
    """The same edits the other way round: what asks for something is stronger, and nothing is weaker by it."""
    sources = Sources.of(folder_of("washer-no-drain"))
    flow = sources.built()
    kinds = (
        "while-gone",
        "alone-gone",
        "step-need-gone",
        "step-need-wider",
        "step-unable",
        "stop-make-safe",
        "latch",
    )
    some = [edit for edit in edits(sources) if edit.kind in kinds]
    for batch in batches(iter(some)):
        found = changes(claims(sources.built(*batch)), claims(flow), flow)
        assert [str(c.claim) for c in found if c.shift is not ClaimShift.STRONGER] == []
        for edit in batch:
            assert any(
                str(c.claim).startswith(edit.line) and c.shift is ClaimShift.STRONGER for c in found
            ), edit
