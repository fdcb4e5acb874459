"""``steadfoot session``: list, show and verify what was done; what else a reviewer does is in ``review_commands``."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from wizard.cli import review_commands
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, plural, write_json, write_lines, write_table
from wizard.errors import JournalError, SteadfootError

if TYPE_CHECKING:
    from wizard.sessions.session_store import Store


@click.group(
    epilog=examples(
        "steadfoot session list",
        "steadfoot session replay 2026-11-25-a",
        'steadfoot session verify 2026-11-25-a --printed "abcd ef01 2345 6789"',
    )
)
def session() -> None:
    """The sessions: list, show, replay, verify, send, take in."""


@session.command("list", epilog=examples("steadfoot session list --json"))
@as_json
@click.pass_obj
def list_sessions(setting: CommandContext, as_json: bool) -> None:
    """List the sessions, the newest first."""
    store = setting.store
    rows = [_row(store, name) for name in store.home.list_ids()]
    if as_json:
        write_json(rows)
    elif not rows:
        write_lines([f"There are no sessions in {store.home.sessions}."], whole=True)
    else:
        heads = ("session", "flow", "technician", "ticket", "stands")
        write_table([[row[head] for head in heads] for row in rows], heads)


def _row(store: Store, name: str) -> dict[str, str]:
    from wizard.documents.text.outcome_text import outcome_words

    row = dict.fromkeys(("flow", "technician", "ticket", "outcome"), "")
    try:
        loaded = store.load(name)
    except SteadfootError as problem:
        return {"session": name, **row, "stands": f"can't be read: {str(problem).splitlines()[0]}"}
    state, visit = loaded.state, loaded.state.visit
    row = {
        "flow": state.flow,
        "technician": visit.who if visit else "",
        "ticket": visit.ticket if visit else "",
        "outcome": state.outcome or "",
    }
    doubt = ", as far as it can be followed" if loaded.trouble else ""
    return {"session": name, **row, "stands": f"{outcome_words(state.outcome)}{doubt}"}


@session.command(epilog=examples("steadfoot session show 2026-11-25-a"))
@click.argument("name", metavar="ID")
@as_json
@click.pass_obj
def show(setting: CommandContext, name: str, as_json: bool) -> None:
    """Show a session: the machine, every answer, what was decided and done, and how the machine stands."""
    from wizard.cli.session_text import lines_of, table_of
    from wizard.sessions import sign_off

    name = setting.find(name)
    loaded = setting.store.load(name)
    if as_json:
        write_json(table_of(loaded))
    else:
        write_lines(lines_of(loaded, sign_off.load(setting.store.home.session_folder(name))))


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
