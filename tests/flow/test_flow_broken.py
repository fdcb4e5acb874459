"""Broken flows, a folder each under broken/: the files that differ from good/, and what must be said of them."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from folders import BROKEN, GOOD, good, overlaid

from wizard.errors import FlowError
from wizard.flow.check import examine
from wizard.flow.files import decode
from wizard.flow.load import load_files
from wizard.flow.problems import Problem

WITHOUT_ERRORS = {
    "waits",
    "after-finds",
    "band-out-of-reach",
    "recheck",
    "stray-file",
    "unlisted",
    "unused-tool",
}
NAMED = re.compile(r'"([^"]+)" is not (?:in |a key here|a step|an id)')


def problems(folder: Path) -> tuple[Problem, ...]:
    return examine(overlaid(folder)).problems


def ids(folder: Path) -> str:
    return folder.name


def test_the_good_flow_has_no_problems() -> None:
    """The flow that all the broken ones differ from is sound, without a warning."""
    assert examine(good()).problems == ()


def test_there_are_many_kinds_of_broken_flows() -> None:
    """At least twenty-five kinds are kept as files."""
    assert len(BROKEN) >= 25


@pytest.mark.parametrize("folder", BROKEN, ids=ids)
def test_every_problem_is_found_placed_and_explained(folder: Path) -> None:
    """A broken flow gives exactly the lines of its problems.txt: file, line, column, what and how to mend it."""
    expected = (folder / "problems.txt").read_text(encoding="utf-8").splitlines()
    assert [str(problem) for problem in problems(folder)] == expected
    assert expected


@pytest.mark.parametrize("folder", BROKEN, ids=ids)
def test_the_place_is_where_the_named_thing_stands(folder: Path) -> None:
    """Where a problem says that a name is wrong, the text at its line and column is that name."""
    files = overlaid(folder)
    for problem in problems(folder):
        named = NAMED.search(problem.text)
        if named is None or problem.rule not in ("reference", "key"):
            continue
        line = decode(files[problem.file]).split("\n")[problem.line - 1]
        at = line[problem.column - 1 :].lstrip("\"'").removeprefix("stop:")
        assert named[1].partition(":")[0].partition(".")[0] in at[: len(named[1])]


@pytest.mark.parametrize("folder", BROKEN, ids=ids)
def test_errors_stop_loading_and_warnings_do_not(folder: Path) -> None:
    """A flow with errors is refused with all of them; one with warnings alone is loaded."""
    wrong = [p for p in problems(folder) if p.severity == "error" and not p.file.startswith("cases/")]
    if not wrong:
        assert load_files(overlaid(folder)).id == "washer-bounce"
        return
    with pytest.raises(FlowError) as raised:
        load_files(overlaid(folder))
    assert set(map(str, wrong)) <= set(raised.value.problems)
    assert all(text in str(raised.value) for text in raised.value.problems)


def test_only_few_kinds_are_warnings() -> None:
    """The kinds without an error are the ones meant to be."""
    found = {f.name for f in BROKEN if all(p.severity == "warning" for p in problems(f))}
    assert found == WITHOUT_ERRORS


def test_the_example_of_the_manual() -> None:
    """A misspelt limit is placed at its name, with the right name beside it."""
    (problem,) = problems(GOOD.parent / "broken" / "limit-name")
    assert str(problem) == (
        'inspections/dampers.toml:45:9 step "pull": limit "damper-drg" is not in limits.toml. '
        'Did you mean "damper-drag"?'
    )
    assert (problem.line, problem.column, problem.rule, problem.severity) == (45, 9, "reference", "error")
