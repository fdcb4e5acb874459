"""``steadfoot session import``: one session, several, or all that lie in a folder."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Any, cast

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import JournalError, SteadfootError
from wizard.foreign.harmless import harmless
from wizard.platform.crash_log import logged

if TYPE_CHECKING:
    from wizard.sessions.drop_folder import ImportedParcel
    from wizard.sessions.session_placing import Imported


@click.command(
    "import",
    epilog=examples(
        "steadfoot session import 2026-11-25-a-k7m3qd.zip",
        "steadfoot session import ./van-3/*.zip",
        "steadfoot session import ./drop",
    ),
)
@click.argument(
    "sources", nargs=-1, required=True, metavar="FILE or FOLDER...", type=click.Path(path_type=Path)
)
@as_json
@click.pass_obj
def import_session(setting: CommandContext, sources: tuple[Path, ...], as_json: bool) -> None:
    """Take in sessions that were exported: files, or folders with all below them. A second time changes nothing.

    Each is looked through first: what is damaged or would do harm is refused, and the others go on. A job that went
    on since it came in last is brought up. Where two journals have one name and part at some event, both are kept and
    it is said. Each ends with what 'session verify' says of it. Where one was not taken in, or does not verify, the
    exit code is 4.
    """
    from wizard.sessions.drop_folder import import_many

    found = []
    for one in import_many(setting.store, sources):
        found.append(one)
        if getattr(one.trouble, "__notes__", ()):  # A defect: its traceback is kept.
            logged(setting.home, cast(SteadfootError, one.trouble), "")
        if not as_json:
            write_lines(_lines(one))
    listed = _listed(setting, found)
    if as_json:
        write_json([_table(one) for one in found])
    else:
        write_lines([*([_sum(found)] if len(found) > 1 else ()), *listed])
    refused = [one.trouble for one in found if one.trouble is not None and one.done is None]
    if refused and len(found) == 1:
        raise refused[0]
    if refused:
        raise JournalError(
            f"{plural(len(refused), 'file')} of {len(found)} {'was' if len(refused) == 1 else 'were'} not taken in. "
            "Nothing was changed by them."
        )
    if doubtful := [one for one in found if one.done and not (one.checked and one.checked.ok)]:
        does = "does" if len(doubtful) == 1 else "do"
        raise JournalError(
            f"{plural(len(doubtful), 'session')} of {len(found)} came in and {does} not verify. What is wrong is said "
            "with each: don't trust it as it stands."
        )


def _listed(setting: CommandContext, found: list[ImportedParcel]) -> tuple[str, ...]:
    """Add what came in and verifies to the shop's ledger, if it keeps one; what is to be said of that."""
    from wizard.cli.trust.ledger_adding import add_verified

    names = [one.done.session for one in found if one.done is not None and one.checked and one.checked.ok]
    try:
        return add_verified(setting, tuple(dict.fromkeys(names)), begin=False).lines
    except SteadfootError as problem:
        return (f"Nothing was added to the ledger: {problem}",)


def _lines(one: ImportedParcel) -> Iterator[str]:
    """What became of one, and what its verification says. One that came in before says nothing: it is counted."""
    from wizard.cli import verification_text

    if one.trouble is not None and one.done is None:
        yield from (f"Not taken in: {line}" for line in str(one.trouble).splitlines()[:1])
    if one.done is None:
        return
    yield _said(one.done)
    yield from one.done.notes
    if one.checked is None:
        yield from (f"  It could not be verified: {line}" for line in str(one.trouble).splitlines()[:1])
        return
    yield from (f"  {line}" for line in verification_text.lines_of(one.checked))
    if wrong := len(verification_text.troubles(one.checked)):
        yield f"  {plural(wrong, 'problem')} in it. Don't trust it as it stands."


def _said(done: Imported) -> str:
    from wizard.sessions.session_placing import ImportOutcome

    files = plural(len(done.added), "file")
    words: Mapping[ImportOutcome, str] = {
        ImportOutcome.NEW: f"is here now: {files} in {harmless(str(done.folder))}.",
        ImportOutcome.SAME: f"was here already; {files if done.added else 'nothing'} added.",
        ImportOutcome.GROWN: f"went on since it came in last: its journal was brought up, {files} written.",
        ImportOutcome.OLDER: "is here with more events than the one that came. Yours was kept.",
        ImportOutcome.BESIDE: f"is kept beside another of its name: {files} in {harmless(str(done.folder))}.",
    }
    return f"Session {done.session} {words[done.outcome]}"


def _sum(found: list[ImportedParcel]) -> str:
    """'Of 40 files: 3 new, 1 grown, 35 here already, 1 not taken in.'"""
    words = Counter(
        one.done.outcome.value if one.done else "not taken in" if one.trouble else "here already"
        for one in found
    )
    return f"Of {len(found)} files: {', '.join(f'{count} {word}' for word, count in words.items())}."


def _table(one: ImportedParcel) -> dict[str, Any]:
    from wizard.cli import verification_text

    table: dict[str, Any] = {"file": str(one.source), "outcome": "refused" if one.trouble else "known"}
    if one.done is None:
        return {**table, "trouble": str(one.trouble)} if one.trouble else {**table, "session": one.known}
    table |= {**asdict(one.done), "folder": str(one.done.folder)}
    if one.checked is None:
        return {**table, "trouble": str(one.trouble)}
    return {**table, "verified": verification_text.table_of(one.checked)}
