"""``steadfoot session``: list, show and verify what was done; what else a reviewer does is in ``review_commands``."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from wizard.cli import review_commands
from wizard.cli.context import CommandContext
from wizard.cli.lazy_group import LazyGroup, Table
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table
from wizard.domain.counting import plural
from wizard.errors import JournalError

if TYPE_CHECKING:
    from wizard.archive.archive_query import ArchiveRow
    from wizard.archive.bringing_up import BringingUp


_SIGNOFF = "wizard.cli.reviewing.signoff_commands"

LATE: Table = {
    "signoff": (_SIGNOFF, "Accept a session, return it, or say what is to be learned from it."),
    "comment": (_SIGNOFF, "Write a reviewer's note at an event."),
    "answer": (_SIGNOFF, "Answer what a reviewer wrote."),
    "rejudge": (
        "wizard.cli.reviewing.rejudge_command",
        "Judge sessions once more, by another flow or a sheet.",
    ),
    "import": (
        "wizard.cli.archive.import_command",
        "Take in sessions that were exported: files, or folders.",
    ),
    "report": (
        "wizard.cli.report_command",
        "Write a page for the customer, and behind it the record for the shop.",
    ),
}
"""The commands with modules of their own."""


@click.group(
    cls=LazyGroup,
    late=LATE,
    epilog=examples(
        "steadfoot session list",
        "steadfoot session replay 2026-11-25-a",
        'steadfoot session verify 2026-11-25-a --printed "abcd ef01 2345 6789"',
    ),
)
def session() -> None:
    """The sessions: list, show, replay, verify, send, take in."""


@session.command("list", epilog=examples("steadfoot session list --json"))
@as_json
@click.pass_obj
def list_sessions(setting: CommandContext, as_json: bool) -> None:
    """List the sessions, the newest first."""
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.archive_query import ArchiveFilter, ArchiveOrder
    from wizard.archive.bringing_up import bring_up

    store = setting.store
    if not store.home.list_ids():
        rows = []
    else:
        with ArchiveIndex.open(setting.home) as index:
            bring_up(index, store, closely=False, say=_progress)
            rows = [_row(found) for found in index.find(ArchiveFilter(order=ArchiveOrder.NEWEST)).rows]
    if as_json:
        write_json(rows)
    elif not rows:
        write_lines([f"There are no sessions in {store.home.sessions}."], whole=True)
    else:
        heads = ("session", "flow", "technician", "ticket", "stands")
        write_table([[row[head] for head in heads] for row in rows], heads)


def _row(found: ArchiveRow) -> dict[str, str]:
    from wizard.archive.session_facts import NOT_ENDED

    return {
        "session": found.session, "flow": found.flow, "technician": found.technician, "ticket": found.ticket,
        "outcome": "" if found.outcome in NOT_ENDED else found.outcome,
        "stands": f"can't be read: {found.trouble}" if found.trouble else found.stands,
    }  # fmt: skip


def _progress(_what: BringingUp, done: int, of: int) -> bool:
    """A line on standard error now and then where many sessions are new to the index."""
    if of > 200 and (done % 200 == 0 or done == of) and done:
        click.echo(f"{done} of {of} sessions read", file=sys.stderr)
    return True


@session.command(epilog=examples("steadfoot session show 2026-11-25-a"))
@click.argument("name", metavar="ID")
@as_json
@click.pass_obj
def show(setting: CommandContext, name: str, as_json: bool) -> None:
    """Show a session: the machine, every answer, what was decided and done, and how the machine stands."""
    from wizard.cli.session_text import lines_of, table_of
    from wizard.sessions import sign_off
    from wizard.sessions.damaged_session import refuse_broken

    name = setting.find(name)
    loaded = setting.store.salvage(name)
    if as_json:
        write_json(table_of(loaded))
    else:
        write_lines(lines_of(loaded, sign_off.load(setting.store.home.session_folder(name))))
    refuse_broken(loaded)


@session.command(epilog=examples('steadfoot session verify 2026-11-25-a --printed "abcd ef01 2345 6789"'))
@click.argument("name", metavar="ID")
@click.option(
    "--printed", metavar="VALUE", help="The value printed at the handover, to see what was cut off the end."
)
@as_json
@click.pass_obj
def verify(setting: CommandContext, name: str, printed: str | None, as_json: bool) -> None:
    """Check that a session is whole and untouched: its chain block by block, its flow, attachments and papers, and
    whether the rules of its flow allowed every event.

    Whole blocks that were cut off the end are only seen against the printed value. Anything wrong makes the exit
    code 4.
    """
    from wizard.cli import verification_text
    from wizard.sessions.session_verification import verified

    name = setting.find(name)
    found = verified(setting.store, name, printed)
    if as_json:
        write_json(verification_text.table_of(found))
    else:
        write_lines(verification_text.lines_of(found))
    wrong = len(verification_text.troubles(found))
    if wrong:
        raise JournalError(
            f"Session {name}: {plural(wrong, 'problem')}. Copy the folder before anything else."
        )


for command in review_commands.COMMANDS:
    session.add_command(command)
