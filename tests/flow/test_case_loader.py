"""Cases and service sheets: read against a flow, or refused with every problem."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.helpers.flows.flow_folders import GOOD
from wizard.domain.references import StepRef
from wizard.domain.vocabulary import CaseAnswerKind, JobOutcome, LimitStatus, RefusalReason
from wizard.errors import FlowError
from wizard.flow.loading.case_loader import load_cases, load_file
from wizard.flow.loading.flow_loader import load
from wizard.flow.loading.service_sheet import load_sheet
from wizard.flow.model import Flow, reading_of
from wizard.flow.model.case_attempts import SkipAttempt
from wizard.flow.model.case_form import TOP, CaseAnswer, build_answer
from wizard.flow.parsing.case_builder import count

SHEET = """
[sheet]
model = "WM 1"
source = "Sheet 12, 2024"

[[limit]]
id = "moved"
says = "How far the feet moved"
unit = "cm"
source = "page 3"

[[limit.band]]
id = "stays"
up_to = 0.4
verdict = "pass"

[[limit.band]]
id = "walks"
verdict = "fail"
"""


@pytest.fixture(scope="module")
def flow() -> Flow:
    return load(GOOD)


def test_the_cases_of_a_folder_are_read(flow: Flow) -> None:
    """Facts, answers, attempts and the result expected are as written."""
    stopped, worn = load_cases(GOOD, flow)
    assert (worn.id, worn.facts) == ("worn", {"kind": "front-loader", "dampers": "3"})
    assert worn.answers[StepRef("dampers", "pull")] == CaseAnswer(CaseAnswerKind.READINGS, numbers=(22.0,))
    assert worn.answers[StepRef("dampers", "bounce")].ids == ("swings",)
    assert worn.after[StepRef("dampers", "pull")].numbers == (62.0,)
    assert worn.confirm == ("dampers-worn",)
    assert (worn.expect.outcome, worn.expect.confirmed) == (JobOutcome.PROVED, ("dampers-worn",))
    (attempt,) = worn.attempts
    assert attempt == SkipAttempt(at=StepRef("power", "try"), refused=RefusalReason.UNKNOWN)
    assert (stopped.expect.stop, stopped.expect.confirmed, stopped.confirm) == ("scorched", None, ())


@pytest.mark.parametrize(
    ("value", "answer"),
    [
        ("yes", CaseAnswer(CaseAnswerKind.ANSWER, ids=("yes",))),
        (["a", "b"], CaseAnswer(CaseAnswerKind.ANSWER, ids=("a", "b"))),
        ([], CaseAnswer(CaseAnswerKind.ANSWER)),
        (22, CaseAnswer(CaseAnswerKind.READINGS, numbers=(22.0,))),
        ([[1, 2], [3, 4]], CaseAnswer(CaseAnswerKind.READINGS, numbers=(1.0, 2.0, 3.0, 4.0))),
        ({"unable": "no room"}, CaseAnswer(CaseAnswerKind.UNABLE, reason="no room")),
        ({"not_fitted": "none"}, CaseAnswer(CaseAnswerKind.NOT_FITTED, reason="none")),
    ],
)
def test_an_answer_is_an_id_numbers_or_a_reason(value: object, answer: CaseAnswer) -> None:
    """Lists within lists are one list, in the order item, way, repeat."""
    assert build_answer(value) == answer


def test_a_number_stands_for_every_item_way_and_repeat(flow: Flow) -> None:
    """Three dampers, two ways, three repeats take 18 numbers; one number stands for all."""
    reading = reading_of(flow.inspections["dampers"].steps[1])
    assert reading is not None
    assert count(reading, {"dampers": "3"}) == 18
    assert CaseAnswer(CaseAnswerKind.READINGS, numbers=(22.0,)).spread(18) == (22.0,) * 18
    assert CaseAnswer(CaseAnswerKind.READINGS, numbers=(1.0, 2.0)).spread(2) == (1.0, 2.0)
    with pytest.raises(ValueError, match="numbers: 2 are given"):
        CaseAnswer(CaseAnswerKind.READINGS, numbers=(1.0, 2.0)).spread(18)
    with pytest.raises(ValueError, match='facts: "dampers" is not known'):
        count(reading, {})


def test_places_count_as_items(flow: Flow) -> None:
    """Two places, one way, one repeat take two numbers."""
    reading = reading_of(flow.inspections["spin"].steps[0])
    assert reading is not None
    assert count(reading, {}) == 2


def test_the_one_ranked_first_is_confirmed_unless_said(flow: Flow, tmp_path: Path) -> None:
    """A case that says nothing of the decision confirms the fault ranked first."""
    path = tmp_path / "short.toml"
    path.write_text('[[case]]\nid = "a"\nsays = "A"\n[case.expect]\noutcome = "proved"\n', encoding="utf-8")
    (case,) = load_file(path, flow)
    assert case.confirm == TOP


def test_a_case_of_another_flow_is_refused_with_every_problem(flow: Flow, tmp_path: Path) -> None:
    """Each unknown name is placed."""
    path = tmp_path / "wrong.toml"
    path.write_text(
        '[[case]]\nid = "a"\nsays = "A"\nanswers = { "feet.rock" = "no", "quick.bolts" = 3 }\nconfirm = ["feet"]\n'
        '[case.expect]\noutcome = "proved"\nstop = "gas"\n'
        '[[case.attempt]]\nat = "quick.bolts"\nkind = "open"\ninspection = "feet"\nrefused = "late"\n',
        encoding="utf-8",
    )
    with pytest.raises(FlowError) as raised:
        load_file(path, flow)
    assert [p.split(" ")[0] for p in raised.value.problems] == [
        "wrong.toml:4:13",
        "wrong.toml:4:49",
        "wrong.toml:5:12",
        "wrong.toml:7:11",
        "wrong.toml:12:14",
    ]


@pytest.mark.parametrize(
    "text", ["", "[case", "case = 3", "case = []", '[[case]]\nid = "a"\n', '[case]\nid = "a"\n']
)
def test_a_file_that_is_no_case_is_refused(flow: Flow, tmp_path: Path, text: str) -> None:
    """No traceback whatever stands in the file."""
    path = tmp_path / "case.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(FlowError, match=r"case\.toml:\d+:\d+ "):
        load_file(path, flow)


def test_a_sheet_is_read_in_si_with_its_status(flow: Flow, tmp_path: Path) -> None:
    """0.4 cm is 0.004 m; the limits have status S and their own source."""
    path = tmp_path / "wm1.toml"
    path.write_text(SHEET, encoding="utf-8")
    sheet = load_sheet(path, flow)
    assert (sheet.model, sheet.source) == ("WM 1", "Sheet 12, 2024")
    (limit,) = sheet.limits
    assert (limit.id, limit.status, limit.source, limit.unit) == (
        "moved",
        LimitStatus.SHEET,
        "page 3",
        "cm",
    )
    assert [band.top for band in limit.bands] == [0.004, None]


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('id = "moved"', 'id = "movd"', r'7:6 .*limit "movd" is not in limits.toml. Did you mean "moved"\?'),
        ('unit = "cm"', 'unit = "N"', r"9:8 .*the flow's limit is in mm \(length\), this in N \(force\)"),
        ("up_to = 0.4\n", "", r"12:1 .*has neither"),
        ('id = "walks"', 'id = "moves"', r'the band "walks" is missing: findings depend on it'),
        ('verdict = "pass"', 'verdict = "watch"', "no band has the verdict pass"),
        ('source = "page 3"\n', "", r'6:1 .*"source" is missing'),
        ('source = "page 3"\n', 'source = "page 3"\nstatus = "P"\n', r'11:1 .*"status" is not a key here'),
        (
            'source = "page 3"\n',
            'source = "page 3"\napplies = { kind = ["twin"] }\n',
            r'fact "kind" has no value "twin"',
        ),
    ],
)
def test_a_sheet_that_does_not_fit_is_refused(
    flow: Flow, tmp_path: Path, old: str, new: str, said: str
) -> None:
    """Unknown limits, other dimensions and lacking bands are placed and explained."""
    path = tmp_path / "wm1.toml"
    path.write_text(SHEET.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(FlowError, match=said):
        load_sheet(path, flow)
