"""``steadfoot archive trends``: what many sessions say together, with what is uncertain in it."""

from __future__ import annotations

import sys
from datetime import datetime
from typing import TYPE_CHECKING

import click

from wizard.cli.archive.archive_options import brought_up, filter_of, filters, progress, written
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table, write_text
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.archive.trends.trend_table import TrendTable

KINDS = ("back", "proof", "ranked", "minutes", "left-out", "near")
GROUPS = ("month", "fault", "part", "kind", "flow", "step", "inspection", "limit")


@click.command(
    epilog=examples(
        "steadfoot archive trends",
        "steadfoot archive trends proof --by part --since 2026-01",
        "steadfoot archive trends minutes --kind front-loader --csv",
        "steadfoot archive trends back --by fault --within 60 --target 0.04",
    )
)
@click.argument("trend", type=click.Choice(KINDS), default=KINDS[0], metavar=f"[{'|'.join(KINDS)}]")
@click.option(
    "--by", type=click.Choice(GROUPS), default=None, help="What has a row of its own; never a person."
)
@click.option(
    "--within", type=click.IntRange(0, 3650), default=30, show_default=True, metavar="DAYS",
    help="Days within which a machine comes back; younger jobs are left out and counted.",
)  # fmt: skip
@click.option(
    "--target",
    type=float,
    default=None,
    metavar="SHARE",
    help="The share that each row is held against, as 0.05.",
)
@filters
@written
@brought_up
@as_json
@click.pass_context
def trends(
    ctx: click.Context,
    /,
    trend: str,
    by: str | None,
    within: int,
    target: float | None,
    as_list: bool,
    as_csv: bool,
    quick: bool,
    url: str,
    processes: int,
    as_json: bool,
    **given: str | None,
) -> None:
    """Say what many sessions say together: machines that came back (back), repairs that failed their proof (proof),
    faults confirmed against the ranking (ranked), time a step took (minutes), what was left out (left-out), readings
    near their limit (near).

    Each share has its interval, and how likely it is over a target; few sessions say little, and it is said so.
    Nobody is compared with anybody: a person is a filter, never a row. On a terminal it opens the screen.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import bring_up
    from wizard.archive.trend_cell import TrendGroup, TrendKind
    from wizard.archive.trends.trend_table import TrendAsked, trend_table

    setting: CommandContext = ctx.obj
    if as_csv and as_json:
        raise UsageError("--csv and --json are two forms of one thing. Leave one out.")
    today = datetime.now().astimezone().date().toordinal()
    group = TrendGroup.of(by) if by else None
    asked = TrendAsked(TrendKind(trend), today, group, within, target, filter_of(given))
    with ArchiveIndex.open(setting.home, url) as index:
        if not (as_list or as_csv or as_json) and sys.stdout.isatty():
            from wizard import screens

            ctx.exit(screens.run_trends(setting.store, index, asked))
        bring_up(index, setting.store, not quick, processes, progress)
        _write(trend_table(index, asked), as_json, as_csv)


def _write(table: TrendTable, as_json: bool, as_csv: bool) -> None:
    from wizard.archive.trends.trend_words import notes, title_of
    from wizard.cli.archive import trends_text

    if as_json:
        write_json(trends_text.table_of(table))
    elif as_csv:
        write_text(trends_text.csv_of(table))
    else:
        write_lines([title_of(table)])
        if table.rows:
            write_table(trends_text.cells_of(table), trends_text.heads_of(table))
        write_lines(notes(table))
