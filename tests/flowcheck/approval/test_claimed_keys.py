"""Whoever gives the format a new key says whether people's safety rests on it: it is a claim, or it is listed here."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

import pytest

from wizard.flow.model import (
    Answer,
    Approach,
    Band,
    ChooseStep,
    Compute,
    ComputeStep,
    Drawing,
    Fact,
    FactValue,
    Fault,
    FlowHead,
    Inspection,
    Limit,
    LookStep,
    MeasureStep,
    Reading,
    RecordStep,
    Remedy,
    Stop,
    TellStep,
    Tool,
    Unable,
    VerdictConsequence,
)
from wizard.flow.model.machine import ConditionTable, ReachTable
from wizard.flow.model.steps import Wait

_STEP = "id drawing closeup next answers"
_HANDS = _STEP
_DONE = "do expect known known_of caution minutes wait unable reach needs may because takes"
_OUTCOME = "next finds rules_out"
UNCLAIMED: dict[type[Any], str] = {
    ConditionTable: "id may_lack",
    ReachTable: "id source base",
    Stop: "id",
    Tool: "id says unit resolution",
    Fact: "id usual",
    FactValue: "id",
    Inspection: "id title minutes steps absent why after_only procedure",
    Wait: "",
    Unable: "next",
    TellStep: _HANDS,
    LookStep: _HANDS,
    ChooseStep: f"{_HANDS} where each once",
    MeasureStep: f"{_HANDS} evidence aid",
    ComputeStep: f"{_STEP} evidence aid",
    RecordStep: f"{_HANDS} figures reads bearings before load places plate spin_rpm spin_seconds",
    Answer: f"{_OUTCOME} id unticked verdict usual severity",
    VerdictConsequence: f"{_OUTCOME} verdict",
    Reading: "unit item way_by_way usual signed",
    Compute: "",
    Limit: "id says unit source status usual scatter",
    Band: "source typical",
    Fault: "id says plain share remedy unless alone missed severity",
    Remedy: "says do minutes companions parts alternatives price worth worth_at risk",
    Approach: "id",
    FlowHead: "id title complaint version notice kind find advice age talk_over wrong_part second_visit place lead "
    "occupancy severity strength",
    Drawing: "id rows plain regions applies instead",
}
"""Of each table the keys that are no claim of their own: names and words, ways on (whatever they lead to needs what it
needs), what ranks faults, and what holds other tables or is part of a claim (a
base by what is inherited, a unit by its numbers, an id by its place).
"""

CLAIMED: dict[type[Any], str] = {
    ConditionTable: "says values alone rests_on latch applies short urgent hands last passing handover contradicted",
    ReachTable: "says needs may begins warns verbs",
    Stop: "says again call make_safe outdoors so release",
    Tool: "uncertainty reach",
    Fact: "ask values applies sight required",
    FactValue: "says note so stop later",
    Inspection: "applies caution owed repairs",
    Wait: "minutes since applies",
    Unable: "stop",
    TellStep: f"{_DONE} so",
    LookStep: _DONE,
    ChooseStep: f"{_DONE} many",
    MeasureStep: f"{_DONE} reading limit on so",
    ComputeStep: "do expect caution minutes wait unable compute limit on so",
    RecordStep: _DONE,
    Answer: "known known_of says so stop most then unticked_so wait leaves_out",
    VerdictConsequence: "so stop most then leaves_out",
    Reading: "low high tool each places ways repeats",
    Compute: "calculator inputs choices settings",
    Limit: "bands applies",
    Band: "id verdict below up_to",
    Fault: "needs so hazard confirm",
    Remedy: "reach needs may because so caution approaches recheck",
    Approach: "step answer reach",
    FlowHead: "prove leave handover procedures consent without",
    Drawing: "reaches",
}
"""Of each table the keys that are claims; the edits of `test_claim_edits.py` try them."""


@pytest.mark.parametrize("table", UNCLAIMED, ids=lambda t: t.__name__)
def test_every_key_is_a_claim_or_is_said_to_be_none(table: type[Any]) -> None:
    """A key that is in neither list is new: decide, and give it a claim in wizard/flowcheck/approval if people's safety
    rests on it.
    """
    claimed, unclaimed = CLAIMED[table].split(), UNCLAIMED[table].split()
    assert sorted([*claimed, *unclaimed]) == sorted(field.name for field in fields(table))
