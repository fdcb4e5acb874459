"""``steadfoot session rejudge``: sessions judged once more, by today's flow, another one, or a service sheet."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import SteadfootError, UsageError

if TYPE_CHECKING:
    from wizard.flow.model import Flow
    from wizard.review.rejudging import Rejudged


@click.command(
    epilog=examples(
        "steadfoot session rejudge 2026-11-25-a",
        "steadfoot session rejudge --all --flow ./my-flow",
        "steadfoot session rejudge 2026-11-25-a --sheet model-7.toml --json",
    )
)
@click.argument("names", nargs=-1, metavar="ID...")
@click.option("--all", "every", is_flag=True, help="Every session of the home folder that can be read.")
@click.option("--flow", "by", metavar="FLOW", help="The flow to judge by; else today's of the same name.")
@click.option(
    "--sheet",
    type=click.Path(path_type=Path),
    metavar="FILE",
    help="A service sheet whose limits come first.",
)
@as_json
@click.pass_obj
def rejudge(
    setting: CommandContext,
    names: tuple[str, ...],
    every: bool,
    by: str | None,
    sheet: Path | None,
    as_json: bool,
) -> None:
    """Judge the readings and answers of sessions once more: by today's flow, by another, or by a service sheet.

    It says which verdicts and findings would differ and why, and which fault would have led at the decision. Nothing of
    a session is changed, and nothing is said of what would have been asked instead.
    """
    if every == bool(names):
        raise UsageError("Name the sessions, or write --all for every one.")
    ids = setting.store.home.list_ids() if every else [setting.find(name) for name in names]
    found, unread = [], []
    for name in ids:
        try:
            found.append(_judged(setting, name, by, sheet))
        except SteadfootError as problem:
            if not every:
                raise
            unread.append(f"Session {name} was left out: {problem}")
    from wizard.cli.reviewing import rejudged_text

    if as_json:
        write_json([rejudged_text.table_of(one, flow) for one, flow in found])
    else:
        for one, flow in found:
            write_lines(rejudged_text.lines_of(one, flow))
        write_lines([*unread, *_sum([one for one, _flow in found])])


def _judged(setting: CommandContext, name: str, by: str | None, sheet: Path | None) -> tuple[Rejudged, Flow]:
    from wizard.flow.loading.service_sheet import load_sheet
    from wizard.review.rejudging import rejudge as judged_again

    view = setting.store.load(name).view
    flow = setting.load(setting.folder_of(by or view.flow.id))
    return judged_again(view, flow, load_sheet(sheet, flow) if sheet is not None else None), flow


def _sum(found: list[Rejudged]) -> Iterator[str]:
    """One line over several sessions."""
    if len(found) < 2:
        return
    changed = sum(bool(one.changes) for one in found)
    led = sum(one.leader_changed for one in found)
    yield (
        f"{plural(len(found), 'session')} judged once more: {changed} differ somewhere, in {led} another fault would "
        "have led at the decision."
    )
