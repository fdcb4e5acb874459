"""``steadfoot flow``: which flows there are, and whether they are sound."""

from __future__ import annotations

import tomllib
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.out import as_json, examples, plural, write_json, write_lines, write_table
from wizard.cli.setting import Setting
from wizard.errors import FlowError

if TYPE_CHECKING:
    from wizard.flow.problems import Problem


@click.group(epilog=examples("steadfoot flow list", "steadfoot flow check flows/washer-shake"))
def flow() -> None:
    """The flows: list them, check them."""


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
    try:
        head = tomllib.loads((folder / "flow.toml").read_text(encoding="utf-8-sig")).get("flow", {})
    except (OSError, ValueError):
        head = {}
    own = folder.is_relative_to(setting.home)
    title = str(head.get("title") or "can't be read: check it")
    return {
        "name": name,
        "version": str(head.get("version", "")),
        "whose": "own" if own else "shipped",
        "title": title,
        "folder": str(folder),
    }


@flow.command(epilog=examples("steadfoot flow check", "steadfoot flow check flows/washer-shake --json"))
@click.argument("flows", nargs=-1, metavar="[FLOW]...")
@as_json
@click.pass_obj
def check(setting: Setting, flows: tuple[str, ...], as_json: bool) -> None:
    """Check flows, each a name or a folder; all of them if none is named.

    Every problem is told at once, with file, line and column. Errors make the exit code 3; warnings don't.
    """
    from wizard.flow.load import check as check_folder

    names = flows or tuple(setting.flows())
    folders = {name: setting.folder_of(name) for name in names}
    found = {name: check_folder(folder) for name, folder in folders.items()}
    if as_json:
        write_json([_table(name, folders[name], problems) for name, problems in found.items()])
    else:
        for name, problems in found.items():
            _tell(name, folders[name], problems)
    wrong = sum(p.severity == "error" for problems in found.values() for p in problems)
    if wrong:
        raise FlowError(
            f"{plural(wrong, 'error')} in {plural(len(found), 'flow')}. Mend them, then check again."
        )


def _tell(name: str, folder: Path, problems: tuple[Problem, ...]) -> None:
    write_lines(f"{folder / p.file}:{str(p).removeprefix(p.file + ':')}" for p in problems)
    wrong = sum(p.severity == "error" for p in problems)
    doubts = f", {plural(len(problems) - wrong, 'warning')}" if len(problems) > wrong else ""
    click.echo(f"{name}: {plural(wrong, 'error') if wrong else 'sound'}{doubts}")


def _table(name: str, folder: Path, problems: tuple[Problem, ...]) -> dict[str, object]:
    sound = all(p.severity != "error" for p in problems)
    return {"flow": name, "folder": str(folder), "sound": sound, "problems": [asdict(p) for p in problems]}
