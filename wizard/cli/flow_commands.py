"""``steadfoot flow``: which flows there are, and whether they are sound."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.lazy_group import LazyGroup, Table
from wizard.cli.output import as_json, examples, plural, write_json, write_lines, write_table
from wizard.domain.vocabulary import Severity
from wizard.errors import FlowError

if TYPE_CHECKING:
    from wizard.flow.problems import Problem
    from wizard.flowcheck.checks import Coverage
    from wizard.flowcheck.flow_check import FlowCheckResult


LATE: Table = {
    "desk": (
        "wizard.cli.writing.desk_command",
        "Open a flow beside its editor: checked at every save, tried from any step.",
    ),
    "draw": ("wizard.cli.writing.draw_command", "Draw a flow in the terminal, or as a Mermaid flowchart."),
    "new": ("wizard.cli.new_command", "Write a new flow: small, sound, with two cases."),
    "claims": (
        "wizard.cli.approving.claims_command",
        "List what a flow claims and people's safety rests on.",
    ),
    "approve": ("wizard.cli.approving.approve_command", "Approve what a flow claims, in a person's name."),
    "learn": (
        "wizard.cli.learning.learn_command",
        "Learn a flow's numbers from closed sessions; propose, take, undo.",
    ),
    "study": ("wizard.cli.study_command", "Play jobs at practice machines, and score the diagnosis."),
    "schema": ("wizard.cli.schema_command", "Write the JSON Schema of a kind of file, every key explained."),
}
"""The commands with their own module."""


@click.group(
    cls=LazyGroup,
    late=LATE,
    epilog=examples("steadfoot flow list", "steadfoot flow check flows/washer-shake"),
)
def flow() -> None:
    """The flows: list them, check them, draw them, begin a new one."""


@flow.command("list", epilog=examples("steadfoot flow list"))
@as_json
@click.pass_obj
def list_flows(setting: CommandContext, as_json: bool) -> None:
    """List every flow: those that come with the program, and the shop's own."""
    rows = [_row(setting, name, folder) for name, folder in setting.flows().items()]
    if as_json:
        write_json(rows)
        return
    heads = ("name", "version", "whose", "title", "folder")
    write_table([[row[head] for head in heads] for row in rows], heads)


def _row(setting: CommandContext, name: str, folder: Path) -> dict[str, str]:
    """A flow by its first lines; the rest of it is not read."""
    from wizard.flow.parsing.flow_files import MAIN, parse

    try:
        head = parse((folder / MAIN).read_text(encoding="utf-8-sig")).get("flow")
    except (OSError, ValueError):
        head = None
    head = head if isinstance(head, dict) else {}
    own = folder.is_relative_to(setting.home)
    title = str(head.get("title") or "can't be read: check it")
    return {
        "name": name,
        "version": str(head.get("version", "")),
        "whose": "own" if own else "shipped",
        "title": title,
        "folder": str(folder),
    }


def _explain(ctx: click.Context, _parameter: click.Parameter, rule: str | None) -> None:
    """Tell what a rule proves, and end there: no flow is read."""
    if rule is None or ctx.resilient_parsing:
        return
    from wizard.flowcheck.rule_catalogue import explain

    explained = explain(rule)
    write_lines((explained.proves, *([explained.why] if explained.why else []), ""), hang=0)
    write_lines(explained.example.splitlines(), 2, whole=True)
    ctx.exit()


@flow.command(
    epilog=examples(
        "steadfoot flow check",
        "steadfoot flow check flows/washer-shake --cases",
        "steadfoot flow check flows/washer-shake --json",
        "steadfoot flow check flows/washer-shake --weak --edits 400",
        "steadfoot flow check --explain way",
    )
)
@click.argument("flows", nargs=-1, metavar="[FLOW]...")
@click.option(
    "--cases", "play", is_flag=True, help="Play the flow's cases too, and list what none goes through."
)
@click.option(
    "--explain", metavar="RULE", callback=_explain, expose_value=False, is_eager=True,
    help="Tell what a rule proves and why, with an example; RULE stands in [ ] after each problem.",
)  # fmt: skip
@click.option("--counts", is_flag=True, help="Say what the proofs went through, and how long the check took.")
@click.option(
    "--weak",
    is_flag=True,
    help="Edit the flow, one thing at a time, and tell which edits nobody would notice.",
)
@click.option("--edits", type=click.IntRange(0), default=0, help="With --weak: so many edits, drawn; 0: all.")
@click.option(
    "--seed", type=click.IntRange(0), default=1, show_default=True, help="With --weak: what draws them."
)
@click.option(
    "--processes", type=click.IntRange(1, 64), default=2, show_default=True, help="With --weak: at a time."
)
@as_json
@click.pass_obj
def check(
    setting: CommandContext,
    flows: tuple[str, ...],
    play: bool,
    counts: bool,
    weak: bool,
    edits: int,
    seed: int,
    processes: int,
    as_json: bool,
) -> None:
    """Prove flows, each a name or a folder; all of them if none is named.

    Every problem is told at once, with file, line and column, and what shows it: the path of answers that goes there,
    the value, or the pair. What asks for less than was approved is an error. Errors make the exit code 3; warnings
    don't.

    With --weak nothing else is told: each need, warning, stop, limit, evidence and so on is taken out or changed, one
    at a time, and form, proofs, the approval and the cases that can tell are asked whether they notice. An edit that
    could hurt somebody, goes unnoticed and isn't accepted in weak.toml makes the exit code 3. It takes minutes.
    """
    if weak:
        from wizard.cli.writing.weak_check import WeakOptions, weak_check

        named = flows or tuple(setting.flows())
        options = WeakOptions(edits, seed, processes)
        weak_check({name: setting.folder_of(name) for name in named}, options, as_json)
        return
    with _uncollected():
        from wizard.flow.parsing.flow_files import read_folder
        from wizard.flowcheck.approval.approval_check import ApprovalBeside
        from wizard.flowcheck.flow_check import check as check_flow

        names = flows or tuple(setting.flows())
        folders = {name: setting.folder_of(name) for name in names}
        found, seconds = {}, {}
        for name, folder in folders.items():
            began = time.perf_counter()
            found[name] = check_flow(read_folder(folder), play, ApprovalBeside.of(folder, name))
            seconds[name] = time.perf_counter() - began
    if as_json:
        write_json([_table(name, folders[name], checked) for name, checked in found.items()])
    else:
        for name, checked in found.items():
            _tell(name, folders[name], checked)
            if counts and checked.proved:
                write_lines([_counted(checked, seconds[name])], 4)
        for folder in folders.values():
            _library_unread(folder)
    wrong = sum(p.severity is Severity.ERROR for checked in found.values() for p in checked.problems)
    if wrong:
        raise FlowError(
            f"{plural(wrong, 'error')} in {plural(len(found), 'flow')}. Mend them, then check again."
        )


def _library_unread(folder: Path) -> None:
    """Say so where a library lies beside or in a flow that is not the one that the flow is read with."""
    from wizard.flow.flow_places import shipped_library

    whole = folder.resolve()
    for other in (whole.parent / "library", whole / "library"):
        if (other / "machine.toml").is_file() and other != shipped_library().resolve():
            write_lines(
                [f"Not read: {other}. A flow is checked with the program's own library, {shipped_library()}."]
            )


@contextmanager
def _uncollected() -> Iterator[None]:
    """Leave reference cycles alone meanwhile: a check makes few, and looking for them takes a tenth of its time."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def near(path: Path) -> Path:
    """A path as short as it can be said from the folder in which the program runs."""
    here = Path.cwd()
    return path.relative_to(here) if path.is_absolute() and path.is_relative_to(here) else path


def _tell(name: str, folder: Path, checked: FlowCheckResult) -> None:
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


def _counted(checked: FlowCheckResult, seconds: float) -> str:
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


def _table(name: str, folder: Path, checked: FlowCheckResult) -> dict[str, object]:
    table: dict[str, object] = {
        "flow": name, "folder": str(folder), "sound": checked.sound, "proved": checked.proved,
        "problems": [_problem(p, folder) for p in checked.problems], "cases": checked.cases,
        "counts": asdict(checked.counts),
        "played": [{"case": p.case, "ok": p.ok} for p in checked.played],
    }  # fmt: skip
    if checked.coverage is not None:
        table["coverage"] = checked.coverage.as_table()
    return table
