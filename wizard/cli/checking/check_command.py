"""``steadfoot flow check``: whether flows are sound."""

from __future__ import annotations

import gc
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.domain.vocabulary import Severity
from wizard.errors import FlowError


def _explain(ctx: click.Context, _parameter: click.Parameter, rule: str | None) -> None:
    """Tell what a rule proves, and end there: no flow is read."""
    if rule is None or ctx.resilient_parsing:
        return
    from wizard.flowcheck.rule_catalogue import explain

    explained = explain(rule)
    write_lines((explained.proves, *([explained.why] if explained.why else []), ""), hang=0)
    write_lines(explained.example.splitlines(), 2, whole=True)
    ctx.exit()


@click.command(
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
        from wizard.cli.checking.weak_check import WeakOptions, weak_check

        named = flows or tuple(setting.flows())
        options = WeakOptions(edits, seed, processes)
        weak_check({name: setting.folder_of(name) for name in named}, options, as_json)
        return
    with _uncollected():
        from wizard.cli.checking.check_text import counted, table_of, tell
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
        write_json([table_of(name, folders[name], checked) for name, checked in found.items()])
    else:
        for name, checked in found.items():
            tell(name, folders[name], checked)
            if counts and checked.proved:
                write_lines([counted(checked, seconds[name])], 4)
        for name, folder in folders.items():
            _folder_unread(name, folder)
            _library_unread(folder)
    wrong = sum(p.severity is Severity.ERROR for checked in found.values() for p in checked.problems)
    if wrong:
        raise FlowError(
            f"{plural(wrong, 'error')} in {plural(len(found), 'flow')}. Mend them, then check again."
        )


def _folder_unread(name: str, folder: Path) -> None:
    """Say so where a flow was found by its name, and a flow in a folder of that name, here, was not looked at."""
    from wizard.flow.parsing.flow_files import MAIN

    here = Path(name)
    if (here / MAIN).is_file() and here.resolve() != folder.resolve():
        write_lines(
            [f"Not read: the folder {name} here. {folder} was, by its name. Name it ./{name} to check it."]
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
