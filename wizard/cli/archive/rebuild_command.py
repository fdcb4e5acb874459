"""``steadfoot archive rebuild``: the archive's index made anew."""

from __future__ import annotations

import click

from wizard.cli.archive.archive_options import brought_up, progress
from wizard.cli.context import CommandContext
from wizard.cli.output import examples, write_lines


@click.command(epilog=examples("steadfoot archive rebuild"))
@brought_up
@click.pass_obj
def rebuild(setting: CommandContext, quick: bool, url: str, processes: int) -> None:
    """Make the archive's index anew from the journals; nothing of a session is changed.

    Broken off, it goes on where it was the next time that the archive is opened.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import bring_up
    from wizard.sessions.trusting.ledger_compared import ledgers_compared

    with ArchiveIndex.open(setting.home, url) as index:
        index.clear()
        done = bring_up(index, setting.store, not quick, processes, progress)
    counted = f"{done.read} sessions read, {done.appraised} verified and looked at."
    write_lines([counted, *(() if quick else ledgers_compared(setting.home, setting.ledger).lines)])
