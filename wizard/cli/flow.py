"""``steadfoot flow``: which flows there are, and whether they are sound."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.late import Late, Table
from wizard.cli.out import as_json, examples, plural, write_json, write_lines, write_table
from wizard.cli.setting import Setting
from wizard.errors import FlowError

if TYPE_CHECKING:
    from wizard.proof.check import Checked
    from wizard.proof.proofs import Coverage


LATE: Table = {
    "draw": ("wizard.cli.flow_draw", "Draw a flow in the terminal, or as a Mermaid flowchart."),
    "new": ("wizard.cli.flow_new", "Write a new flow: small, sound, with its gates and two cases."),
    "schema": ("wizard.cli.flow_schema", "Write the JSON Schema of a kind of file, every key explained."),
}
"""The commands with a module of their own."""


@click.group(
    cls=Late,
    late=LATE,
    epilog=examples("steadfoot flow list", "steadfoot flow check flows/washer-shake"),
)
def flow() -> None:
    """The flows: list them, check them, draw them, begin a new one."""


@flow.command("list", epilog=examples("steadfoot flow list"))
@as_json
@click.pass_obj
def list_flows(setting: Setting, as_json: bool) -> None:
    """List every flow: those that come with the program, and the shop's own."""
    rows = [_row(setting, name, folder) for name, folder in setting.flows().items()]
    if as_json:
        write_json(rows)
        return
    heads = ("name", "version", "whose", "title", "folder")
    write_table([[row[head] for head in heads] for row in rows], heads)


def _row(setting: Setting, name: str, folder: Path) -> dict[str, str]:
    """A flow by its first lines; the rest of it is not read."""
    from wizard.flow.files import MAIN, parse

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
    from wizard.proof.explain import explain

    told = explain(rule)
    write_lines((told.proves, *([told.why] if told.why else []), ""), hang=0)
    write_lines(told.example.splitlines(), 2, whole=True)
    ctx.exit()


@flow.command(
    epilog=examples(
        "steadfoot flow check",
        "steadfoot flow check flows/washer-shake --cases",
        "steadfoot flow check flows/washer-shake --json",
        "steadfoot flow check --explain passed",
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
@as_json
@click.pass_obj
def check(setting: Setting, flows: tuple[str, ...], play: bool, as_json: bool) -> None:
    """Prove flows, each a name or a folder; all of them if none is named.

    Every problem is told at once, with file, line and column, and what shows it: the path of answers that goes there,
    the value, or the pair. Errors make the exit code 3; warnings don't.
    """
    with _uncollected():
        from wizard.flow.files import read_folder
        from wizard.proof.check import check as check_flow

        names = flows or tuple(setting.flows())
        folders = {name: setting.folder_of(name) for name in names}
        found = {name: check_flow(read_folder(folder), play) for name, folder in folders.items()}
    if as_json:
        write_json([_table(name, folders[name], checked) for name, checked in found.items()])
    else:
        for name, checked in found.items():
            _tell(name, folders[name], checked)
    wrong = sum(p.severity == "error" for checked in found.values() for p in checked.problems)
    if wrong:
        raise FlowError(
            f"{plural(wrong, 'error')} in {plural(len(found), 'flow')}. Mend them, then check again."
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


def _tell(name: str, folder: Path, checked: Checked) -> None:
    """Write the problems of a flow, errors before warnings, each with what shows it, and a last line on the whole."""
    for problem in sorted(checked.problems, key=lambda p: p.severity):
        place = f"{folder / problem.file}:{str(problem).removeprefix(problem.file + ':')}"
        write_lines([f"{place} [{problem.rule}]"])
        write_lines(getattr(problem, "witness", ()), 4)
    if checked.coverage is not None:
        _tell_coverage(checked.coverage)
    wrong = sum(p.severity == "error" for p in checked.problems)
    doubtful = len(checked.problems) - wrong
    doubts = f", {plural(doubtful, 'warning')}" if doubtful else ""
    waits = "" if checked.proved else ". What needs the engine is proved once these are mended"
    cases = (
        ""
        if checked.played or not checked.cases
        else f". Not played: {plural(checked.cases, 'case')} (--cases)"
    )
    write_lines([f"{name}: {plural(wrong, 'error') if wrong else 'sound'}{doubts}{waits}{cases}"])


def _tell_coverage(told: Coverage) -> None:
    """Write which steps and answers no case goes through."""
    for what, missed in (("steps", told.no_step), ("answers", told.no_answer)):
        if missed:
            click.echo(f"{what} that no case goes through:")
            write_lines(missed, 4)


def _table(name: str, folder: Path, checked: Checked) -> dict[str, object]:
    table: dict[str, object] = {
        "flow": name, "folder": str(folder), "sound": checked.sound, "proved": checked.proved,
        "problems": [asdict(p) for p in checked.problems], "cases": checked.cases,
        "played": [{"case": p.case, "ok": p.ok} for p in checked.played],
    }  # fmt: skip
    if checked.coverage is not None:
        table["coverage"] = asdict(checked.coverage)
    return table
