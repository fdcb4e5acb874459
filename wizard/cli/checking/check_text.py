"""What a check of flows found, as lines for people and as plain values for programs."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.output import write_lines
from wizard.domain.counting import plural
from wizard.domain.vocabulary import Severity

if TYPE_CHECKING:
    from wizard.flow.problems import Problem
    from wizard.flowcheck.checks import Coverage
    from wizard.flowcheck.flow_check import FlowCheckResult


def near(path: Path) -> Path:
    """A path as short as it can be said from the folder in which the program runs."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_absolute() and path.is_relative_to(here) else path


def tell(name: str, folder: Path, checked: FlowCheckResult) -> None:
    """Write the problems of a flow, each with what shows it, and a last line on the whole: errors before warnings, and
    first what others rest on, the library; cases last.
    """
    from wizard.flow.parsing.flow_files import of_case, of_library, path_of

    def rank(problem: Problem) -> tuple[Severity, bool, bool]:
        return problem.severity, of_case(problem.file), not of_library(problem.file)

    for problem in sorted(checked.problems, key=rank):
        place = f"{near(path_of(folder, problem.file))}:{str(problem).removeprefix(problem.file + ':')}"
        write_lines([f"{place} [{problem.rule}]"])
        write_lines(getattr(problem, "shown", ()), 4)
    if checked.coverage is not None:
        _tell_coverage(checked.coverage)
    wrong = sum(p.severity is Severity.ERROR for p in checked.problems)
    doubtful = len(checked.problems) - wrong
    doubts = f", {plural(doubtful, 'warning')}" if doubtful else ""
    waits = "" if checked.proved else ". What needs the engine is proved once these are mended"
    cases = (
        ""
        if checked.played or not checked.cases
        else f". Not played: {plural(checked.cases, 'case')} (--cases)"
    )
    write_lines([f"{name}: {plural(wrong, 'error') if wrong else 'sound'}{doubts}{waits}{cases}"])


def counted(checked: FlowCheckResult, seconds: float) -> str:
    """What the proofs went through, in words."""
    counts = checked.counts
    return (
        f"{plural(counts.needs, 'set')} of needs, each met from all beliefs of all machines ({counts.beliefs:.1e}) by "
        f"{plural(counts.acts, 'act')} followed; {seconds:.2f} s in all"
    )


def _tell_coverage(explained: Coverage) -> None:
    """Write which steps and answers no case goes through."""
    for what, missed in (("steps", explained.no_step), ("answers", explained.no_answer)):
        if missed:
            click.echo(f"{what} that no case goes through:")
            write_lines(map(str, missed), 4)


def _problem(problem: Problem, folder: Path) -> dict[str, object]:
    """A problem in plain values: where its file lies, and the path and the names that show it where it has them."""
    from wizard.flow.parsing.flow_files import path_of

    shown = {
        key: list(map(str, getattr(problem, key))) for key in ("witness", "names") if hasattr(problem, key)
    }
    return asdict(problem) | {"path": str(path_of(folder, problem.file))} | shown


def table_of(name: str, folder: Path, checked: FlowCheckResult) -> dict[str, object]:
    """What a check of a flow found, as plain values."""
    table: dict[str, object] = {
        "flow": name, "folder": str(folder), "sound": checked.sound, "proved": checked.proved,
        "problems": [_problem(p, folder) for p in checked.problems], "cases": checked.cases,
        "counts": asdict(checked.counts),
        "played": [{"case": p.case, "ok": p.ok} for p in checked.played],
    }  # fmt: skip
    if checked.coverage is not None:
        table["coverage"] = checked.coverage.as_table()
    return table
