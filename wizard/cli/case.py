"""``steadfoot case``: play cases without a screen, make one of a session."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.out import as_json, examples, plural, write_json, write_lines
from wizard.cli.setting import Setting
from wizard.errors import CaseFailed, FlowError, UsageError

if TYPE_CHECKING:
    from wizard.proof.cases import Played


@click.group(
    epilog=examples(
        "steadfoot case run flows/washer-shake/cases/dampers-worn.toml", "steadfoot case from 2026-11-25-a"
    )
)
def case() -> None:
    """Cases: play them, make one of a session."""


@case.command(
    epilog=examples(
        "steadfoot case run flows/washer-shake/cases",
        "steadfoot case run flows/washer-shake/cases/ring-bag.toml --follow advice",
        "steadfoot case run my-case.toml --flow washer-shake --json",
    )
)
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.option(
    "--flow", "flow_name", default="", metavar="FLOW", help="The flow, where a case is not in its folder."
)
@click.option(
    "--follow",
    type=click.Choice(["order", "advice"]),
    default="order",
    help="What sends the job on: the flow's own order, or the advice until enough is known. [default: order]",
)
@as_json
@click.pass_obj
def run(setting: Setting, files: tuple[str, ...], flow_name: str, follow: str, as_json: bool) -> None:
    """Play cases through the engine and say how each ended. A folder stands for the cases in it.

    By the advice, the minutes that the flow's own order takes stand beside those of the job. The advice may end a
    search before it comes to what a case has to show: that is told like any other difference.

    A case that ends otherwise than it says makes the exit code 7; one that is no case of its flow, 3.
    """
    played: list[Played] = []
    tables: list[dict[str, Any]] = []
    besides: list[float] = []
    broken = []
    for path, folder in _cases(setting, files, flow_name):
        try:
            result, table, beside = _play(setting, path, folder, follow)
        except FlowError as problem:
            broken.append(str(problem))
            continue
        played.append(result)
        tables.append(table)
        besides.append(beside)
        if not as_json:
            _tell(result, beside)
    if as_json:
        write_json(tables)
    elif follow == "advice" and len(played) > 1:
        click.echo(_total(played, besides))
    if broken:
        raise FlowError("\n".join(broken))
    failed = sum(not p.ok for p in played)
    if failed:
        raise CaseFailed(f"{plural(failed, 'case')} of {len(played)} ended otherwise than it says.")


def _cases(setting: Setting, files: tuple[str, ...], flow_name: str) -> Iterator[tuple[Path, Path]]:
    """Each case file with the folder of its flow: the one it lies in, else the one named."""
    for path in map(Path, files):
        inside = sorted(path.glob("*.toml")) if path.is_dir() else [path]
        if not inside:
            raise UsageError(f"{path}: there are no cases in this folder. Name one that holds some.")
        for file in inside:
            if not file.is_file():
                raise UsageError(f"{file}: there is no such file. Look at the name.")
            yield file, setting.folder_of(flow_name) if flow_name else _flow_around(file)


def _flow_around(file: Path) -> Path:
    folder = file.resolve().parent.parent
    if (folder / "flow.toml").is_file():
        return folder
    raise UsageError(
        f"{file}: it is not in the cases folder of a flow. Say which flow it is for with --flow."
    )


def _play(setting: Setting, path: Path, folder: Path, follow: str) -> tuple[Played, dict[str, Any], float]:
    """A case played, as a table, and by the advice the minutes of the flow's own order beside it, else 0."""
    from wizard.flow.case_files import load_case
    from wizard.proof.advised import compare
    from wizard.proof.play import play

    flow = setting.load(folder)
    case = load_case(path, flow)
    if follow == "advice":
        both = compare(flow, case)
        return both.advice, both.as_table(), both.order.minutes
    played = play(flow, case)
    return played, played.as_table() | {"follow": "order"}, 0.0


def _total(played: Sequence[Played], besides: Sequence[float]) -> str:
    """The minutes of the cases that ended as they say both ways, side by side."""
    both = [(p.minutes, beside) for p, beside in zip(played, besides, strict=True) if p.ok]
    advice, order = (sum(minutes) for minutes in zip(*both, strict=True)) if both else (0.0, 0.0)
    return (
        f"{plural(len(both), 'case')} as said: {advice:g} min by the advice, {order:g} in the flow's order."
    )


def _tell(played: Played, beside: float) -> None:
    faults = ", ".join(played.confirmed) or "no fault"
    ended = f"{played.outcome} {played.stop}".strip()
    word = "as said" if played.ok else "NOT SO"
    minutes = f"{played.minutes:g} min" + (f" (in the flow's order {beside:g})" if beside else "")
    click.echo(f"{word}  {played.case}: {ended}; {faults}; {minutes}; {plural(len(played.path), 'answer')}")
    write_lines(played.problems, indent=9)


@case.command(
    "from", epilog=examples("steadfoot case from 2026-11-25-a --name worn-and-loose > worn-and-loose.toml")
)
@click.argument("session", metavar="ID")
@click.option("--name", default="", metavar="NAME", help="The id of the case. [default: the session's]")
@click.pass_obj
def from_session(setting: Setting, session: str, name: str) -> None:
    """Write a case that plays what was answered in a session.

    It goes to standard output: look it over, name it, and put it into the cases folder of the flow. What names the
    customer's machine is left out.
    """
    from wizard.proof.record import case_from

    loaded = setting.store.load(session)
    click.echo(case_from(loaded.flow, loaded.records, name), nl=False)
