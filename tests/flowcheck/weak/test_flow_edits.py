"""The edits of a flow: of every kind, each with its place, and every key of the files is edited or said not to be."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any, get_args

import pytest

from tests.helpers.flows.flow_folders import GOOD, good
from wizard.flow.declaring.declaration_fields import keys_of, tables_of
from wizard.flow.loading.static_check import examine
from wizard.flow.model.file_kinds import FILES
from wizard.flow.parsing.flow_files import path_of
from wizard.flowcheck.weak.edit_kinds import GRAVITY, EditChange, EditKind
from wizard.flowcheck.weak.edited_keys import TABLES, edits_of
from wizard.flowcheck.weak.flow_edit import FlowEdit, made
from wizard.flowcheck.weak.flow_edits import flow_edits

UNEDITED: dict[str, str] = {
    "ConditionTable": "id says values short handover may_lack",
    "ReachTable": "id says source",
    "MachineFile": "condition reach stop tool limit",
    "Stop": "id says call release",
    "Tool": "id says resolution",
    "Fact": "id ask value usual required",
    "FactValue": "id says note",
    "FlowHead": "id title complaint version notice kind leave handover advice place without",
    "Inspection": "id title minutes absent why",
    "Wait": "since",
    "Unable": "",
    "Step": "id do expect drawing closeup minutes known known_of reach_because many where answer reading on compute "
    "figure bearings load places plate",
    "Answer": "id says usual known known_of",
    "VerdictConsequence": "verdict",
    "FigureMeaning": "figure of from to there source",
    "Reading": "from to tool item places",
    "Compute": "calculator",
    "Limit": "id says source status band",
    "Band": "id source",
    "Finding": "id says",
    "Fault": "id says plain remedy",
    "Remedy": "says do reach_because minutes companions alternative worth risk",
    "Part": "id says",
    "Approach": "id step answer",
}
"""Of each table the keys that no edit is made of: names and words, which stand in the approval where safety rests on
them; tables of their own; minutes, which no safety, verdict or evidence rests on; what the form alone holds together.
"""


@pytest.fixture(scope="module")
def edits() -> tuple[FlowEdit, ...]:
    index = examine(good()).index
    assert index is not None
    return flow_edits(index)


def test_every_key_is_edited_or_is_said_not_to_be() -> None:
    """A key that is in neither list is new: decide."""
    found: dict[str, set[str]] = {}
    for table in TABLES:
        name = "Step" if table.__name__.endswith("Step") else table.__name__
        keys = [field.key for field in keys_of(table)]
        found.setdefault(name, set()).update(set(keys) - set(edits_of(table, keys)))
    assert {name: " ".join(sorted(keys)) for name, keys in found.items()} == {
        name: " ".join(sorted(keys.split())) for name, keys in UNEDITED.items()
    }


def test_every_edited_key_is_one_of_its_table() -> None:
    """A key that is misspelt in the list of edited ones would never be edited."""
    from wizard.flowcheck.weak.edited_keys import _EDITS, STEPS

    known = {
        ("Step" if table in STEPS else table.__name__, field.key)
        for table in TABLES
        for field in keys_of(table)
    }
    assert set(_EDITS) <= known


def test_edits_are_of_every_kind_and_every_kind_has_its_gravity(edits: tuple[FlowEdit, ...]) -> None:
    """The small flow and the library have something of each kind."""
    assert {edit.kind for edit in edits} == set(EditKind) == set(GRAVITY)
    assert {edit.change for edit in edits} == set(EditChange)


def test_edits_have_names_of_their_own_and_places(edits: tuple[FlowEdit, ...]) -> None:
    """No two have one name, and the line of each holds what is edited, or the table or list that does."""
    assert max(Counter(edit.id for edit in edits).values()) == 1
    edit = next(e for e in edits if e.id == "inspections/dampers.toml: step.pull.needs.front removed")
    text = path_of(GOOD, edit.file).read_text(encoding="utf-8").splitlines()[edit.line - 1]
    assert "front" in text
    assert edit.says == 'step "pull": needs front off removed'
    assert all(edit.line >= 1 and Path(edit.file).suffix == ".toml" for edit in edits)


def test_an_edge_is_moved_further_than_its_tool_can_tell(edits: tuple[FlowEdit, ...]) -> None:
    """The scale of the small flow is uncertain by 1 N; its edge at 30 N moves by more, up and down."""
    moved = [e for e in edits if e.kind is EditKind.LIMIT and "damper-drag" in e.id]
    index = examine(good()).index
    assert moved and index is not None
    sound = index.source.sound["limits.toml"]
    for edit in moved:
        value: Any = sound
        for key in edit.keys:
            value = value[key]
        assert abs(edit.value - value) > index.flow.tools["pull-scale"].uncertainty


def test_an_edit_leaves_the_files_that_it_is_made_of_alone() -> None:
    """Thousands are made of one reading of the files."""
    before: dict[str, Any] = {"step": [{"id": "a", "needs": {"front": ["off"]}}, {"id": "b"}]}
    after = made(before, ("step", 0, "needs", "front"), None)
    assert after == {"step": [{"id": "a", "needs": {}}, {"id": "b"}]}
    assert before["step"][0]["needs"] == {"front": ["off"]}
    assert made(before, ("step", 1, "id"), "c")["step"][1] == {"id": "c"}


def test_every_table_of_a_flow_is_edited_or_has_no_edits() -> None:
    """A table that a file of a flow can have and that is not among those edited is new: decide."""
    left = {
        "FlowFile", "InspectionFile", "LimitsFile", "FindingsFile", "FaultsFile", "Caution", "Signs", "Alternative",
        "FoundAnswer",
        # A flow's words in place of the library's: words are in the approval.
        "WordingFile", "ConditionWords", "ReachWords", "StopWords", "ProcedureWords", "StepWords",
    }  # fmt: skip
    kinds = [table for kind, table in FILES.items() if kind not in ("case", "sheet", "weak")]
    found: set[type] = set()
    while kinds:
        table = kinds.pop()
        if table not in found:
            found.add(table)
            kinds += [inner for field in keys_of(table) for inner in _inner(field.kind)]
    assert {table.__name__ for table in found - set(TABLES)} == left


def _inner(kind: object) -> list[type]:
    return [table for one in (kind, *get_args(kind)) for table in tables_of(one)]
