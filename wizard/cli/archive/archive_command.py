"""``steadfoot archive find``: every session of the home, found by words and facts, the ones worth reading first."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.archive.archive_options import brought_up, filter_of, filters, progress, written
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table, write_text
from wizard.domain.counting import plural
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.archive.archive_query import ArchiveRow


@click.command(
    "find",
    epilog=examples(
        "steadfoot archive find",
        "steadfoot archive --sign unsigned --since 2026-11 bearing noise",
        "steadfoot archive --serial 4471 --newest --csv",
        "steadfoot archive --back 30 --since 2026-11",
    ),
)
@click.argument("words", nargs=-1, metavar="[WORDS...]")
@filters
@click.option("--newest", is_flag=True, help="The newest first, not the riskiest.")
@click.option(
    "--most", type=click.IntRange(1), default=20, show_default=True, help="So many sessions at most."
)
@click.option("--all", "every", is_flag=True, help="All of them.")
@click.option(
    "--back",
    type=click.IntRange(0, 3650),
    default=None,
    metavar="DAYS",
    help="Machines that came back within so many days: the job after beside the one before.",
)
@written
@brought_up
@as_json
@click.pass_context
def find(
    ctx: click.Context,
    /,
    words: tuple[str, ...],
    newest: bool,
    most: int,
    every: bool,
    back: int | None,
    quick: bool,
    as_list: bool,
    as_csv: bool,
    url: str,
    processes: int,
    as_json: bool,
    **given: str | None,
) -> None:
    """Find sessions by words and facts, the ones worth reading first. On a terminal it opens the reviewer's screen.

    What is searched is an index made of the journals; it is brought up before each search. Risk is a sum of points
    for flags, outcome and what does not verify; each row says why. Nothing of a session is changed.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
    from wizard.archive.bringing_up import bring_up

    setting: CommandContext = ctx.obj
    if as_csv and (as_json or back is not None):
        raise UsageError("--csv writes sessions, a row each. Leave it out, or --json and --back.")
    order = ArchiveOrder.NEWEST if newest else ArchiveOrder.RISK
    asked = filter_of(given, " ".join(words), order=order)
    with ArchiveIndex.open(setting.home, url) as index:
        if not (as_list or as_csv or as_json or back is not None) and sys.stdout.isatty():
            from wizard import screens

            ctx.exit(screens.run_archive(setting.store, index, asked))
        bring_up(index, setting.store, not quick, processes, progress)
        if back is not None:
            _write_back(index.find(ArchiveFilter()).rows, index.find(asked).rows, back, as_json)
            return
        found = index.find(asked, None if every or as_csv else most)
    _write(setting, found, asked, as_json, as_csv)


def _write(setting: CommandContext, found: Any, asked: Any, as_json: bool, as_csv: bool) -> None:
    from wizard.cli.archive import archive_text
    from wizard.sessions.trusting.ledger_compared import ledgers_compared

    if as_json:
        write_json(archive_text.table_of(found, ledgers_compared(setting.home, setting.ledger)))
    elif as_csv:
        write_text(archive_text.csv_of(found.rows))
    else:
        if found.rows:
            write_table(archive_text.rows_of(found.rows), archive_text.HEADS)
        write_lines(
            [
                *archive_text.page_lines(found, asked.asked),
                *ledgers_compared(setting.home, setting.ledger).lines,
            ]
        )


def _write_back(rows: Sequence[ArchiveRow], asked: Sequence[ArchiveRow], within: int, as_json: bool) -> None:
    """Machines that came back; the job after is one of those that were asked for."""
    from wizard.archive.callbacks import callbacks
    from wizard.cli.archive import archive_text

    names = frozenset(row.session for row in asked)
    found = [one for one in callbacks(rows, within) if one.after.session in names]
    if as_json:
        write_json([asdict(one) for one in found])
        return
    if found:
        write_table(archive_text.back_rows(found), archive_text.BACK_HEADS)
    write_lines([f"{plural(len(found), 'job')} of {len(asked)} came back within {plural(within, 'day')}."])
