"""``steadfoot session``: list, show and verify what was done."""

from __future__ import annotations

from dataclasses import asdict
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.out import as_json, examples, plural, write_json, write_lines, write_table
from wizard.cli.setting import Setting
from wizard.errors import JournalError, SteadfootError

if TYPE_CHECKING:
    from wizard.engine.store import Loaded, Store
    from wizard.journal.verify import Verification


@click.group(
    epilog=examples(
        "steadfoot session list", 'steadfoot session verify 2026-11-25-a --printed "abcd ef01 2345 6789"'
    )
)
def session() -> None:
    """The sessions: list, show and verify them."""


@session.command("list", epilog=examples("steadfoot session list --json"))
@as_json
@click.pass_obj
def list_sessions(setting: Setting, as_json: bool) -> None:
    """List the sessions, the newest first."""
    store = setting.store
    rows = [_row(store, name) for name in store.home.list_ids()]
    if as_json:
        write_json(rows)
    elif not rows:
        click.echo(f"There are no sessions in {store.home.sessions}.")
    else:
        heads = ("session", "flow", "technician", "ticket", "stands")
        write_table([[row[head] for head in heads] for row in rows], heads)


def _row(store: Store, name: str) -> dict[str, str]:
    from wizard.review.words import OUTCOMES

    row = dict.fromkeys(("flow", "technician", "ticket", "outcome"), "")
    try:
        state = store.load(name).state
    except SteadfootError as problem:
        return {"session": name, **row, "stands": f"can't be read: {str(problem).splitlines()[0]}"}
    visit = state.visit
    row = {
        "flow": state.flow,
        "technician": visit.technician if visit else "",
        "ticket": visit.ticket if visit else "",
        "outcome": state.outcome,
    }
    return {"session": name, **row, "stands": OUTCOMES.get(state.outcome, state.outcome)}


@session.command(epilog=examples("steadfoot session show 2026-11-25-a"))
@click.argument("name", metavar="ID")
@as_json
@click.pass_obj
def show(setting: Setting, name: str, as_json: bool) -> None:
    """Show a session: the machine, every answer, what was decided and done, and the safety states."""
    from wizard.cli.shown import lines_of, table_of

    loaded = setting.store.load(name)
    if as_json:
        write_json(table_of(loaded))
    else:
        write_lines(lines_of(loaded))


@session.command(epilog=examples('steadfoot session verify 2026-11-25-a --printed "abcd ef01 2345 6789"'))
@click.argument("name", metavar="ID")
@click.option(
    "--printed", metavar="VALUE", help="The value printed at the handover, to see what was cut off the end."
)
@as_json
@click.pass_obj
def verify(setting: Setting, name: str, printed: str | None, as_json: bool) -> None:
    """Check that a session is whole and untouched: its chain block by block, its flow, its attachments.

    Whole blocks that were cut off the end are only seen against the printed value. Anything wrong makes the exit
    code 4.
    """
    from wizard.journal.read import NAME
    from wizard.journal.verify import verify as verify_journal

    store = setting.store
    found = verify_journal(store.home.session_folder(name) / NAME, printed, "seq")
    beside = _beside(store, name) if found.ok else ()
    if as_json:
        write_json(_verified(name, found, beside))
    else:
        _tell(name, found, beside)
    wrong = len(found.problems) + len(beside)
    if wrong:
        raise JournalError(
            f"Session {name}: {plural(wrong, 'problem')}. Copy the folder before anything else."
        )


def _beside(store: Store, name: str) -> tuple[str, ...]:
    """What is wrong with what the journal names: the kept flow, the attachments."""
    from wizard.journal.attachments import check

    try:
        loaded: Loaded = store.load(name)
    except SteadfootError as problem:
        return (str(problem),)
    folder = store.home.session_folder(name)
    photos = [j for j in loaded.state.jottings if j.name]
    return tuple(said for j in photos if (said := check(folder, j.name, j.sha256)))


def _tell(name: str, found: Verification, beside: tuple[str, ...]) -> None:
    from wizard.journal.block import grouped

    write_lines(f"block {p.block}, line {p.line}: {p.kind}. {p.text}" for p in found.problems)
    write_lines((*beside, *found.notes))
    if not found.problems and not beside:
        click.echo(
            f"Session {name} is whole: {plural(found.blocks, 'block')}, the last {grouped(found.last_chain)}."
        )


def _verified(name: str, found: Verification, beside: tuple[str, ...]) -> dict[str, Any]:
    return {
        "session": name, "whole": found.ok and not beside, "blocks": found.blocks, "last": found.last_chain,
        "printed": found.printed, "after": found.after, "notes": list(found.notes),
        "problems": [asdict(p) for p in found.problems], "beside": list(beside),
    }  # fmt: skip
