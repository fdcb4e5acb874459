"""Broken flows, a file each under broken/: how they differ from good/, and what must be said of them."""

from __future__ import annotations

import re
from functools import cache

import pytest

from tests.helpers.flows.flow_folders import BROKEN, Broken, good
from wizard.errors import FlowError
from wizard.flow.loading.flow_loader import load_files
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import decode
from wizard.flow.problems import Problem

WITHOUT_ERRORS = {
    "band-out-of-reach",
    "recheck",
    "stray-file",
    "unlisted",
    "unused-drawing",
    "unused-tool",
    "usual-watched",
}
NAMED = re.compile(r'"([^"]+)" is not (?:in |a key here|a step|an id)')


@cache
def problems(broken: Broken) -> tuple[Problem, ...]:
    return examine(broken.files()).problems


def ids(broken: Broken) -> str:
    return broken.name


def test_the_good_flow_has_no_problems() -> None:
    """The flow that all the broken ones differ from is sound, without a warning."""
    assert examine(good()).problems == ()


def test_there_are_many_kinds_of_broken_flows() -> None:
    """At least twenty-five kinds are kept as files."""
    assert len(BROKEN) >= 25


@pytest.mark.parametrize("broken", BROKEN, ids=ids)
def test_every_problem_is_found_placed_and_explained(broken: Broken) -> None:
    """A broken flow gives exactly the lines of its problems: file, line, column, what and how to mend it."""
    assert broken.found(problems(broken)) == broken.problems
    assert broken.problems


@pytest.mark.parametrize("broken", BROKEN, ids=ids)
def test_the_place_is_where_the_named_thing_stands(broken: Broken) -> None:
    """Where a problem says that a name is wrong, the text at its line and column is that name."""
    files = broken.files()
    for problem in problems(broken):
        named = NAMED.search(problem.text)
        if named is None or problem.rule not in ("reference", "key"):
            continue
        line = decode(files[problem.file]).split("\n")[problem.line - 1]
        at = line[problem.column - 1 :].lstrip("\"'").removeprefix("stop:")
        assert named[1].partition(":")[0].partition(".")[0] in at[: len(named[1])]


@pytest.mark.parametrize("broken", BROKEN, ids=ids)
def test_errors_stop_loading_and_warnings_do_not(broken: Broken) -> None:
    """A flow with errors is refused with all of them; one with warnings alone is loaded."""
    wrong = [p for p in problems(broken) if p.severity == "error" and not p.file.startswith("cases/")]
    if not wrong:
        assert load_files(broken.files()).id == "washer-bounce"
        return
    with pytest.raises(FlowError) as raised:
        load_files(broken.files())
    assert set(map(str, wrong)) <= set(raised.value.problems)
    assert all(text in str(raised.value) for text in raised.value.problems)


def test_only_few_kinds_are_warnings() -> None:
    """The kinds without an error are the ones meant to be."""
    found = {b.name for b in BROKEN if all(p.severity == "warning" for p in problems(b))}
    assert found == WITHOUT_ERRORS


def test_the_example_of_the_manual() -> None:
    """A misspelt limit is placed at its name, with the right name beside it."""
    (problem,) = problems(next(b for b in BROKEN if b.name == "limit-name"))
    assert str(problem) == (
        'inspections/dampers.toml:45:9 step "pull": limit "damper-drg" is not in limits.toml. '
        'Did you mean "damper-drag"?'
    )
    assert (problem.line, problem.column, problem.rule, problem.severity) == (45, 9, "reference", "error")
