"""``steadfoot flow draw``: lines, Mermaid, JSON, and what can't be drawn."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.jobs import GOOD, good
from wizard.flow.diagrams import drawn, links, mermaid


def test_a_flow_is_drawn_at_80_columns_into_a_pipe(run: Run) -> None:
    """The overview, as the library draws it."""
    said = run("flow", "draw", str(GOOD))
    assert (said.code, said.err) == (0, "")
    assert said.out.splitlines() == drawn(good(), width=80)


def test_one_inspection(run: Run) -> None:
    """Its steps as a tree; in ASCII where that is asked for."""
    assert run("flow", "draw", str(GOOD), "--inspection", "dampers").out.splitlines() == drawn(
        good(), "dampers"
    )
    plain = run("flow", "draw", str(GOOD), "--inspection", "dampers", "--plain").out
    assert plain.isascii() and plain.splitlines() == drawn(good(), "dampers", plain=True)


def test_the_width_of_the_terminal_counts(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """A wide terminal gets wide lines, and none gets less than 40 columns."""
    for columns, width in (("120", 120), ("20", 40), ("999", 160)):
        monkeypatch.setenv("COLUMNS", columns)
        assert run("flow", "draw", str(GOOD)).out.splitlines() == drawn(good(), width=width)


def test_mermaid(run: Run) -> None:
    """The text of the chart and nothing else, so that it can go into a file."""
    said = run("flow", "draw", str(GOOD), "--mermaid")
    assert (said.code, said.out) == (0, mermaid(good()))


def test_cases_mark_what_they_cover(run: Run) -> None:
    """With --cases the flow's own cases are played and their ways marked, in every form."""
    tree = run("flow", "draw", str(GOOD), "--inspection", "dampers", "--cases").out
    assert "✓" in tree and "✗ a case" not in tree and "✗ no case does" in tree
    assert "-.->" in run("flow", "draw", str(GOOD), "--mermaid", "--cases").out
    table = json.loads(run("flow", "draw", str(GOOD), "--json", "--cases").out)
    marks = [way["covered"] for i in table["inspections"] for way in i["ways"]]
    assert any(marks) and not all(marks)


def test_json_is_the_graph(run: Run) -> None:
    """Inspections with steps and ways, each way with its key, target, bound and effects."""
    table = json.loads(run("flow", "draw", str(GOOD), "--json").out)
    assert (table["flow"], table["find"], table["handover"]) == (
        good().id,
        list(good().find),
        good().handover,
    )
    for inspection in table["inspections"]:
        wanted = [str(link.key) for link in links(good().inspections[inspection["id"]])]
        assert [way["key"] for way in inspection["ways"]] == wanted
    one = json.loads(run("flow", "draw", str(GOOD), "--json", "--inspection", "dampers").out)
    assert [i["id"] for i in one["inspections"]] == ["dampers"] and "covered" not in one["inspections"][0][
        "ways"
    ][0]


def test_the_flow_one_is_in(run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """With no name the folder one is in is drawn; elsewhere the flows there are, are named."""
    monkeypatch.chdir(GOOD)
    assert run("flow", "draw").out.startswith(good().title)
    monkeypatch.chdir(tmp_path)
    said = run("flow", "draw")
    assert said.code == 2 and "washer-no-drain, washer-shake" in said.err


@pytest.mark.parametrize(
    ("args", "told"),
    [
        (("nowhere",), "nowhere"),
        ((str(GOOD), "--inspection", "damper"), 'Did you mean "dampers"?'),
        ((str(GOOD), "--inspection", "zzz"), "There are: "),
        ((str(GOOD), "--mermaid", "--json"), "Leave out --json"),
        ((str(GOOD), "--mermaid", "--inspection", "dampers"), "Leave out --json and --inspection"),
    ],
)
def test_what_cannot_be_drawn_is_one_line(run: Run, args: tuple[str, ...], told: str) -> None:
    """Exit code 2 and one line that says how to mend it."""
    said = run("flow", "draw", *args)
    assert said.code == 2 and told in said.err and said.err.count("\n") == 1 and said.out == ""


def test_a_broken_flow_says_its_problems(run: Run, tmp_path: Path) -> None:
    """A flow with errors isn't drawn: every problem is told, exit code 3."""
    (tmp_path / "flow.toml").write_text("[flow\n", encoding="utf-8")
    said = run("flow", "draw", str(tmp_path))
    assert said.code == 3 and "flow.toml:1" in said.err


def test_the_life_of_a_job_is_drawn_without_a_flow(run: Run) -> None:
    """It is the same in all flows, so it goes with no flow's name."""
    life = run("flow", "draw", "--life")
    assert life.code == 0 and "working --> closed: close" in life.out
    both = run("flow", "draw", "washer-shake", "--life")
    assert both.code == 2 and "Leave out the rest" in both.err
