"""Edits that weak.toml accepts are told as accepted; a name that no edit has, as a problem of the form."""

from __future__ import annotations

import pytest

from tests.helpers.flows.flow_folders import GOOD, good
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import digest, of_library
from wizard.flowcheck.flow_check import check
from wizard.flowcheck.weak.accepted import Acceptance, accepted
from wizard.flowcheck.weak.edit_kinds import EditChange, EditGravity, EditKind, Noticed
from wizard.flowcheck.weak.edit_trial import EditTrial
from wizard.flowcheck.weak.flow_edit import FlowEdit
from wizard.flowcheck.weak.weak_result import result

HALVED = "findings.toml: finding.*.weights.* halved"
TEXT = """[[accepted]]
edits = [
  "findings.toml: finding.*.weights.* halved",
  "limits.toml: limit.moved.band.stays.up_to raised",
]
reason = "An estimate; flow study tells what it is worth."
"""


def _edit(name: str, kind: EditKind = EditKind.WEIGHT) -> FlowEdit:
    return FlowEdit(
        name, kind, EditChange.HALVED, "findings.toml", 3, ("finding", 0), 0.1, "it is halved", ()
    )


def _accepting(text: str) -> tuple[Acceptance, ...]:
    index = examine(good(**{"weak.toml": text.encode()})).index
    assert index is not None
    return accepted(index)


def test_a_star_stands_for_any_part_of_a_name() -> None:
    """And for nothing else: every other letter must be the same."""
    (one, _) = _accepting(TEXT)
    assert one.name == HALVED and one.reason.startswith("An estimate")
    assert one.of(_edit("findings.toml: finding.walks.weights.normal halved"))
    assert not one.of(_edit("findings.toml: finding.walks.weights.normal doubled"))
    assert not one.of(_edit("findings.toml: finding.walks.leak halved"))
    assert not one.of(_edit("findingsXtoml: finding.walks.weights.normal halved"))


def test_a_flow_with_such_a_list_is_sound_and_the_same_flow() -> None:
    """No session runs on it, so that the flow's digest is what it was."""
    with_it = good(**{"weak.toml": TEXT.encode()})
    assert check(with_it, play=True).problems == check(good(), play=True).problems
    assert digest(with_it) == digest(good())


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        (
            "stays.up_to",
            "stay.up_to",
            4,
            'no edit is called "limits.toml: limit.moved.band.stay.up_to raised"',
        ),
        ("weights.* halved", "weigths.* halved", 3, "no edit is called"),
        ('reason = "An estimate; flow study tells what it is worth."', "", 1, '"reason" is missing'),
        ("edits =", "edit =", 2, '"edit" is not a key here'),
    ],
)
def test_what_no_edit_is_called_is_a_problem_of_the_form(old: str, new: str, line: int, says: str) -> None:
    """With the line and the nearest right name."""
    assert old in TEXT
    found = check(good(**{"weak.toml": TEXT.replace(old, new).encode()}), play=True).problems
    told = [problem for problem in found if problem.file == "weak.toml"]
    assert told and told[0].line == line
    assert any(says in problem.text for problem in told)


def test_accepted_ones_are_counted_apart_and_needless_ones_named() -> None:
    """Of three unnoticed edits one is accepted; another name accepts what a case notices by now."""
    accepting = (
        Acceptance("a *", "Because.", 0, 0),
        Acceptance("d", "Because.", 0, 1),
        Acceptance("x", "-", 0, 2),
    )
    trials = [
        EditTrial(_edit("a 1"), Noticed.NONE, ""),
        EditTrial(_edit("b"), Noticed.NONE, ""),
        EditTrial(_edit("c", EditKind.NEED), Noticed.NONE, ""),
        EditTrial(_edit("d"), Noticed.CASE, "a case"),
    ]
    found = result(trials, accepting, [one.edit for one in trials])
    assert [one.trial.edit.id for one in found.unnoticed] == ["c", "a 1", "b"]
    assert [one.trial.edit.id for one in found.left()] == ["c", "b"]
    assert [one.trial.edit.id for one in found.left(EditGravity.SAFETY)] == ["c"]
    assert [one.name for one in found.needless] == ["d"]
    weight = next(one for one in found.kinds if one.kind is EditKind.WEIGHT)
    assert (weight.edits, weight.by[Noticed.CASE], weight.accepted, weight.left) == (3, 1, 1, 1)
    table = found.as_table()
    assert table["left"] == {"safety": 1, "evidence": 1, "money": 0} and table["edits"] == 4


def test_what_was_not_tried_is_called_needless_by_nobody() -> None:
    """Of two edits that one name accepts a draw tried one, which a case notices: the other may need it."""
    accepting = (Acceptance("d *", "Because.", 0, 0),)
    trials = [EditTrial(_edit("d 1"), Noticed.CASE, "a case")]
    assert not result(trials, accepting, [_edit("d 1"), _edit("d 2")]).needless
    assert result(trials, accepting, [_edit("d 1")]).needless == accepting


def test_the_library_holds_no_such_list() -> None:
    """What a flow accepts, each flow says for itself."""
    assert not [name for name in good() if of_library(name) and name.endswith("weak.toml")]
    assert not (GOOD / "weak.toml").exists()
