"""``steadfoot flow``: which flows there are, and whether they are sound."""

from __future__ import annotations

from pathlib import Path

import click

from wizard.cli.context import CommandContext
from wizard.cli.lazy_group import LazyGroup, Table
from wizard.cli.output import as_json, examples, write_json, write_table

LATE: Table = {
    "check": (
        "wizard.cli.checking.check_command",
        "Prove flows, each a name or a folder; all of them if none is named.",
    ),
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
