"""A new flow is sound from the start, for any id, title and kinds that can be used."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.flows.flow_folders import BROKEN
from wizard.errors import UsageError
from wizard.flow.authoring.scaffold import new
from wizard.flow.loading.case_loader import load_cases
from wizard.flow.loading.flow_loader import load, load_files
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import read_library
from wizard.flowcheck.rule_explanations import EXPLAIN

IDS = st.from_regex(r"[a-z0-9]{1,6}(-[a-z0-9]{1,4})?", fullmatch=True)
LINES = st.text(
    st.characters(categories=("L", "N", "P", "Zs"), max_codepoint=0x24F), min_size=1, max_size=20
).filter(lambda text: bool(text.strip()) and text.isprintable())


def test_a_new_flow_has_no_problems() -> None:
    """Neither errors nor warnings: a trainer begins from a clean check."""
    files = new(
        "no-drain", "Washer that does not drain", "It does not drain", {"front-loader": "Front loader"}
    )
    assert examine({**files, **read_library()}).problems == ()


def test_a_new_flow_loads_with_its_case(tmp_path: Path) -> None:
    """Written to a folder, it loads, and its cases are of the flow."""
    for name, data in new("no-drain", "No drain", "It does not drain", {"a": "A", "b": "B"}).items():
        path = tmp_path / name
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(data)
    flow = load(tmp_path)
    assert (flow.id, flow.kind) == ("no-drain", "kind")
    assert [i.id for i in flow.inspections.values() if not i.procedure] == [
        "first",
        "test-run",
        "leave-waiting",
        "handover",
    ]
    assert [case.id for case in load_cases(tmp_path, flow)] == ["loose", "normal"]


@settings(max_examples=examples(25), deadline=None)
@given(flow_id=IDS, title=LINES, complaint=LINES, kinds=st.dictionaries(IDS, LINES, min_size=1, max_size=9))
def test_a_new_flow_is_sound_whatever_is_asked_for(
    flow_id: str, title: str, complaint: str, kinds: dict[str, str]
) -> None:
    """Texts with quotes, backslashes and letters of any kind are written so that they are read back."""
    flow = load_files({**new(flow_id, title, complaint, kinds), **read_library()})
    assert (flow.id, flow.title, flow.complaint) == (flow_id, title, complaint)
    fact = flow.fact("kind")
    assert fact is not None
    assert {value.id: value.says for value in fact.values} == kinds


@pytest.mark.parametrize(
    ("flow_id", "title", "complaint", "kinds", "said"),
    [
        ("No Drain", "T", "C", {"a": "A"}, '"No Drain" can\'t be an id'),
        ("a", "T" * 41, "C", {"a": "A"}, "1 to 40 characters"),
        ("a", "T", " ", {"a": "A"}, "1 to 66 characters"),
        ("a", "T", "C\nD", {"a": "A"}, "on one line"),
        ("a", "T", "C", {}, "1 to 9 kinds"),
        ("a", "T", "C", {"A": "A"}, '"A" can\'t be an id'),
    ],
)
def test_what_cannot_be_used_is_refused(
    flow_id: str, title: str, complaint: str, kinds: dict[str, str], said: str
) -> None:
    """The error names the text and what would fit."""
    with pytest.raises(UsageError, match=re.escape(said)):
        new(flow_id, title, complaint, kinds)


def test_every_rule_that_is_ever_named_is_explained() -> None:
    """The broken flows break every rule, and every rule they break has its explanation, and no other has one."""
    named = {problem.rule for folder in BROKEN for problem in examine(folder.files()).problems}
    assert named == set(EXPLAIN)
