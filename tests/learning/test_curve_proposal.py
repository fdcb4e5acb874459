"""Learned curves as a proposal: in lines and in the file, taken into limits.toml and taken back, and scored."""

from __future__ import annotations

import json
import shutil
import tomllib
from functools import cache
from pathlib import Path

import pytest

from tests.helpers.drawn_sessions import shake
from tests.learning.drawn_readings import drawn_readings
from wizard.cli.learning.learn_text import lines_of, table_of
from wizard.errors import FlowError, UsageError
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.shipped_flows import folder_of
from wizard.flow.model.curve_problems import curve_problems
from wizard.flow.parsing import flow_files
from wizard.learning.curves.curve_numbers import curved_limits, numbers_of
from wizard.learning.curves_fit import fit_curves
from wizard.learning.estimate import NumberId, NumberKind, NumberStanding
from wizard.learning.held_out import score, split
from wizard.learning.learner import changes, learn
from wizard.learning.number_edit import edited, number_in, number_text
from wizard.learning.numbered_flow import in_flow, with_numbers, written
from wizard.learning.proposal import Proposal, load, path_of, propose, to_toml
from wizard.learning.taking import take, take_back

PADS, ROD, DRAG = "pad-thickness", "rod-drag", "damper-drag@3,4"


def curve(name: str, part: str) -> NumberId:
    return NumberId(NumberKind.CURVE, name, part)


@cache
def proposal() -> Proposal:
    """A caliper and a pull scale that read a fifth too high: pads are offered, rods are not."""
    some = drawn_readings(shake(), shake(), PADS, ("pads", "load"), 200, 7, uncertainty=0.03, factor=1.2)
    more = drawn_readings(shake(), shake(), ROD, ("rods", "load"), 200, 8, factor=1.2)
    return propose(shake(), learn(shake(), [*some, *more]), (), "2026-01-01T00:00:00Z")


def sound(files: dict[str, bytes]) -> tuple[str, ...]:
    """What the check says of the curves of a flow's files; the rest of it has tests of its own."""
    flow = load_files(files, lambda _digest: True)
    return tuple(p for limit in curved_limits(flow).values() for p in curve_problems(limit, flow.severity))


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(folder_of("washer-shake"), tmp_path / "washer-shake"))


def test_a_curve_is_written_whole_and_its_comments_stay() -> None:
    """Only digits change, those of one variant; read again it is the flow with these numbers as a value."""
    before = flow_files.read_folder(folder_of("washer-shake"))
    numbers = {
        curve(DRAG, "usual"): 57.5, curve(DRAG, "scatter"): 8.25, curve(DRAG, "low.mild"): 36.0,
        curve(DRAG, "high.severe"): 148.0, curve(PADS, "thin.severe"): 0.45,
    }  # fmt: skip
    changed = edited(before, numbers)
    assert set(changed) == {"limits.toml"}
    old, new = before["limits.toml"].decode().splitlines(), changed["limits.toml"].decode().splitlines()
    differ = [b for a, b in zip(old, new, strict=True) if a != b]
    assert differ == [
        "usual = 57.5",
        "scatter = 8.25",
        "typical = { mild = 36, moderate = 29, severe = 18 }",
        "typical = { mild = 90, moderate = 110, severe = 148 }",
        "typical = { mild = 1.5, moderate = 1, severe = 0.45 }",
    ]
    files = {**before, **changed}
    flow = load_files(files, lambda _digest: True)
    assert flow.limits == with_numbers(load_files(before, lambda _digest: True), numbers).limits
    assert all(in_flow(flow, i) == number_in(files, i) == value for i, value in numbers.items())
    assert number_in(files, curve("damper-drag@2", "usual")) == 100.0


@pytest.mark.parametrize(
    "wrong",
    [
        "gone:usual",
        "damper-drag:usual",
        f"{DRAG}:gone",
        f"{DRAG}:gone.mild",
        f"{DRAG}:good.mild",
        "slope:usual",
    ],
)
def test_a_number_that_no_curve_has_is_refused(wrong: str) -> None:
    """Named; also where the limit or the band is there and says nothing of it."""
    with pytest.raises(FlowError, match="no such number"):
        edited(flow_files.read_folder(folder_of("washer-shake")), {curve(*wrong.split(":")): 1.0})


def test_numbers_of_a_curve_are_written_with_three_digits() -> None:
    """Whatever their size; below nought too; never as a power of ten."""
    large, small = ((1234.5, "1234"), (100.2, "100"), (57.489, "57.5")), ((0.054321, "0.0543"), (0.0, "0"))
    for value, text in (*large, (2.0, "2"), *small, (1.2e-7, "0.00000012"), (-0.71849, "-0.718")):
        number = curve(PADS, "usual")
        assert number_text(number, written(number, value)) == text
        assert float(text) == written(number, value)


def test_what_is_offered_and_what_is_not_stands_in_lines_and_in_json() -> None:
    """Each number old and new with its interval, its gain; of what is not offered why; all of it for programs."""
    lines = lines_of(proposal(), (), False, "here")
    pads = [line.split() for line in lines if line.startswith(f"curve:{PADS}:")]
    assert {row[0].rpartition(":")[2] for row in pads} == set(numbers_of(curved_limits(shake())[PADS]))
    assert all(row[-1].startswith("+") for row in pads), "a gain in bits a later reading"
    refused = next(line for line in lines if line.startswith(f"Not offered: {ROD}"))
    assert "usual 31" in refused and "a healthy machine passes" in refused
    assert not any(line.startswith(f"curve:{ROD}:") for line in lines)
    table = json.loads(json.dumps(table_of(proposal(), ())))
    rows = {n["id"]: n for n in table["numbers"] if n["id"].startswith("curve:")}
    row, other = rows[f"curve:{PADS}:usual"], rows[f"curve:{ROD}:usual"]
    assert (row["standing"], row["why"]) == ("change", "") and row["low"] < row["learned"] < row["high"]
    assert (
        (other["standing"], other["new"]) == ("not offered", 27.0)
        and other["why"]
        and other["learned"] > 30.0
    )
    few = rows["curve:rock:usual"]
    assert (few["standing"], few["missing"], few["new"]) == ("too few", 8, 0.1)


def test_a_proposal_with_curves_is_read_as_it_was_written(tmp_path: Path) -> None:
    """And one of before there were curves, whose rows say no why."""
    path = tmp_path / "x.learned.toml"
    path.write_bytes(to_toml(proposal()))
    read = load(path)
    assert read is not None and to_toml(read) == to_toml(proposal())
    assert {n.id: (n.new, n.estimate.standing) for n in read.numbers} == {
        n.id: (n.new, n.estimate.standing) for n in proposal().numbers
    }
    table = tomllib.loads(path.read_text(encoding="utf-8"))
    assert [n["why"] != "" for n in table["number"] if "why" in n] == [True] * sum(
        n.estimate.standing is NumberStanding.UNSOUND for n in proposal().numbers
    )


def test_one_number_of_a_curve_brings_the_whole_and_comes_back(folder: Path) -> None:
    """Taken by one of its names: all of it is written, its check passes, and back byte for byte."""
    before = flow_files.read_folder(folder)
    numbers = proposal().chosen([curve(PADS, "usual")])
    assert numbers == {i: v for i, v in proposal().chosen().items() if i.thing == PADS} and len(numbers) == 5
    taken = take(folder, proposal(), numbers, "now", sound)
    files = flow_files.read_folder(folder)
    assert {name for name in files if files[name] != before[name]} == {"limits.toml"}
    assert all(number_in(files, i) == v for i, v in numbers.items())
    assert taken.trainer == dict(zip(numbers, (2.5, 0.3, 1.5, 1.0, 0.5), strict=True))
    assert load(path_of(folder)) is not None
    back, _ = take_back(folder, taken, sound)
    assert flow_files.read_folder(folder) == before and back.taken == ()


def test_what_is_not_offered_is_not_taken(folder: Path) -> None:
    """Refused with the reason by name; all the rest is taken without it; the check has the last word."""
    with pytest.raises(UsageError, match="not offered: a healthy machine passes"):
        proposal().chosen([curve(ROD, "usual")])
    assert not any(i.thing == ROD and i.kind is NumberKind.CURVE for i in proposal().chosen())
    learned = {
        n.id: n.estimate.new
        for n in proposal().numbers
        if n.id.kind is NumberKind.CURVE and n.id.thing == ROD
    }
    before = flow_files.read_folder(folder)
    with pytest.raises(FlowError, match="isn't sound"):
        take(folder, proposal(), learned, "now", sound)
    assert flow_files.read_folder(folder) == before


def test_curves_are_scored_on_later_sessions() -> None:
    """The right curve foretells later readings, and finds faults that are as rare as the flow says, better than a wrong
    one; the flow's own against itself gains nothing.
    """
    bent = {"usual": 2.9, "thin.mild": 2.1, "thin.moderate": 1.7, "thin.severe": 1.0}
    wrong = with_numbers(shake(), {curve(PADS, part): value for part, value in bent.items()})
    some = drawn_readings(wrong, shake(), PADS, ("pads", *["load"] * 4), 400, 3, uncertainty=0.03)
    earlier, later = split(some)
    numbers = changes(fit_curves(wrong, earlier).estimates)
    assert {i.of for i in numbers} == set(numbers_of(curved_limits(shake())[PADS]))
    found = score(wrong, numbers, later)
    assert found is not None and all(found.gains[i] > 0.2 for i in numbers)
    assert found.log_loss.new < found.log_loss.old and found.brier.new < found.brier.old
    same = score(wrong, {}, later)
    assert same is not None and (same.log_loss.low, same.log_loss.high) == (0.0, 0.0)
    assert same.log_loss.old == found.log_loss.old and not same.gains
