"""``steadfoot ledger``: a shop's list of closing seals, which shows what was removed or rewritten since."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table
from wizard.domain.counting import plural
from wizard.errors import JournalError, UsageError
from wizard.foreign.harmless import harmless

if TYPE_CHECKING:
    from wizard.trust.seal_ledger import LedgerHead, SealLedger


@click.group(
    epilog=examples(
        "steadfoot ledger add --all",
        "steadfoot ledger show",
        'steadfoot ledger check --head "8 5dc9 da79 a706 59a9"',
    )
)
def ledger() -> None:
    """The shop's list of closing seals: what was removed shows.

    It has a line for each, and is only ever added to. Keep its head (a number of lines and digits, printed or sent
    to somebody else): against it, later, a line that was changed or taken out shows, and so does a session that was
    removed or rewritten. It doesn't show that a session is true, nor what was changed before it was added.
    """


@ledger.command(epilog=examples("steadfoot ledger add 2026-11-25-a", "steadfoot ledger add --all"))
@click.argument("names", nargs=-1, metavar="[ID...]")
@click.option("--all", "every", is_flag=True, help="Every closed session of this home.")
@as_json
@click.pass_obj
def add(setting: CommandContext, names: tuple[str, ...], every: bool, as_json: bool) -> None:
    """Add the closing seals of sessions, each verified first; the first one begins the ledger.

    What is there already is not added again. 'session import' adds what comes in, once there is a ledger.
    """
    from wizard.cli.trust.ledger_adding import add_verified

    if bool(names) is every:
        raise UsageError("Name the sessions, or say --all.")
    store = setting.store
    chosen = reversed(store.home.list_ids()) if every else map(setting.find, names)
    done = add_verified(setting, tuple(chosen), begin=True)
    if as_json:
        write_json({"added": [asdict(one) for one in done.added], "refused": list(done.refused)})
    else:
        write_lines([*done.lines, *done.refused])
    if done.refused:
        raise JournalError(f"{plural(len(done.refused), 'session')} not added.")


@ledger.command(epilog=examples("steadfoot ledger show", "steadfoot ledger show --at 40"))
@click.option(
    "--at", type=click.IntRange(0), default=None, metavar="N", help="The head of the first N lines."
)
@click.option("--list", "as_list", is_flag=True, help="Every line, too.")
@as_json
@click.pass_obj
def show(setting: CommandContext, at: int | None, as_list: bool, as_json: bool) -> None:
    """Show the head: how many lines, and the root over them in digits. Print it, and keep it elsewhere."""
    found = _ledger(setting)
    head = found.head if at is None else found.head_at(at)
    lines = found.entries[: head.size]
    if as_json:
        table = {"size": head.size, "root": head.root, "lines": [asdict(one) for one in lines]}
        write_json({**table, "signed": _signed(setting, head)})
        return
    if as_list:
        rows = [
            (str(n), one.at, one.session, str(one.events), one.chain[:16]) for n, one in enumerate(lines, 1)
        ]
        write_table(rows, ("line", "added", "session", "events", "seal"))
    write_lines([f"Head of {plural(head.size, 'line')}:", head.digits], whole=True)
    write_lines(_signed(setting, head))


@ledger.command(
    epilog=examples(
        "steadfoot ledger prove 2026-11-25-a --out seal.toml", "steadfoot ledger prove --since 40"
    )
)
@click.argument("name", metavar="[ID]", required=False, default="")
@click.option(
    "--since", type=click.IntRange(1), default=None, metavar="N", help="That N lines are its beginning."
)
@click.option(
    "--out", type=click.Path(path_type=Path), default=None, metavar="FILE", help="Where to write it."
)
@click.pass_obj
def prove(setting: CommandContext, name: str, since: int | None, out: Path | None) -> None:
    """Prove that a session's seal is in the ledger, or that the ledger goes on from an earlier head.

    The proof is a small file that 'ledger check --proof' checks on any computer, without the ledger, against a head.
    """
    from wizard.journal.durable_io import lost, write_new
    from wizard.trust.ledger_proof import dump_proof, prove_line, prove_since

    found = _ledger(setting)
    if bool(name) is (since is not None):
        raise UsageError("Name a session, or say --since and a number of lines.")
    if since is not None:
        proof, target = prove_since(found, since), out or Path(f"ledger-since-{since}.toml")
    else:
        session = _called(setting, found, name)
        proof, target = (
            prove_line(found, found.by_session[session][-1]),
            out or Path(f"{session}-in-ledger.toml"),
        )
    try:
        write_new(target, dump_proof(proof))
    except FileExistsError:
        raise UsageError(f"{target}: there is something by that name. Choose another: --out.") from None
    except OSError as error:
        raise lost("write the proof to", target, error) from error
    write_lines([f"The proof is in {harmless(str(target))}. It ends at the head {proof.head.digits}"])


@ledger.command(
    epilog=examples(
        "steadfoot ledger check",
        'steadfoot ledger check --head "8 5dc9 da79 a706 59a9"',
        'steadfoot ledger check --proof seal.toml --head "8 5dc9 da79 a706 59a9"',
    )
)
@click.option("--head", "typed", default="", metavar="HEAD", help="A head that was kept: lines and digits.")
@click.option("--proof", type=click.Path(path_type=Path), default=None, metavar="FILE", help="Check a proof.")
@click.pass_obj
def check(setting: CommandContext, typed: str, proof: Path | None) -> None:
    """Check the ledger against a head that was kept, and the sessions of this home against the ledger.

    What is gone or rewritten makes the exit code 4. Without a kept head a ledger that was written anew is not seen.
    """
    from wizard.sessions.trusting.ledger_sessions import absent, departures, unlisted
    from wizard.trust.head_signature import heads_found, load_heads
    from wizard.trust.seal_ledger import read_head
    from wizard.trust.trusted_keys import load_trusted

    kept = read_head(typed) if typed else None
    if proof is not None:
        _check_proof(proof, kept)
        return
    found, home = _ledger(setting), setting.store.home
    heads = list(heads_found(found, load_heads(setting.store.ledger_folder.path), load_trusted(setting.home)))
    wrong = [
        *filter(None, (found.departs(kept) if kept else "",)),
        *(head.says for head in heads if head.wrong),
        *departures(home, found, every=setting.ledger is None),
    ]
    write_lines([*wrong, *(head.says for head in heads if not head.wrong)])
    elsewhere = absent(home, found) if setting.ledger is not None else 0
    if elsewhere:
        write_lines([f"Not checked: {plural(elsewhere, 'line')} of sessions that are not in this home."])
    if found.torn:
        write_lines([f"Its last write was cut off: {len(found.torn)} bytes at its end are no line."])
    if others := unlisted(home, found):
        write_lines([f"Closed, and not in the ledger: {', '.join(others)}."])
    if kept is None:
        write_lines(
            ["Not checked: No kept head was compared, so a ledger written anew would not be seen (--head)."]
        )
    elif len(kept.root) < 64 and not wrong:
        write_lines([f"Of the kept root {len(kept.root)} of 64 digits were compared."])
    if wrong:
        raise JournalError(
            f"The ledger: {plural(len(wrong), 'problem')}. Copy the home before anything else."
        )
    which = (
        "those of its sessions that are here are as they were"
        if elsewhere
        else "every session in it is here as it was"
    )
    says = "goes on from the kept head, and" if kept else "is of the form it should be, and"
    write_lines([f"The ledger {says} {which}: {plural(len(found.entries), 'line')}."])
    write_lines([f"Head: {found.head.digits}"], whole=True)


def _signed(setting: CommandContext, head: LedgerHead) -> list[str]:
    """By whose key this very head is signed, a sentence each."""
    from wizard.trust.head_signature import load_heads
    from wizard.trust.signature_check import found_of
    from wizard.trust.trusted_keys import load_trusted

    some = [one for one in load_heads(setting.store.ledger_folder.path) if one.head == head]
    trusted = load_trusted(setting.home) if some else None
    found = [found_of(one.key, one.signature, one.message, trusted) for one in some if trusted]
    return [f"It is {one.words}." if not one.wrong else f"Of it {one.words}." for one in found]


def _check_proof(path: Path, kept: LedgerHead | None) -> None:
    """Say whether a proof holds, and for which head. JournalError where it doesn't."""
    from wizard.trust.ledger_proof import ProofKind, load_proof

    proof = load_proof(path)
    if not proof.holds:
        raise JournalError(f"{path}: the proof is wrong: its hashes don't lead to the root that it names.")
    inclusion = proof.kind is ProofKind.INCLUSION
    wanted = proof.head if inclusion else proof.start
    if kept is not None and (kept.size != wanted.size or not wanted.root.startswith(kept.root)):
        raise JournalError(f"{path}: the proof is of another ledger: its head is {wanted.digits}")
    if inclusion:
        write_lines([f"Line {proof.index + 1} of {proof.size} is: {proof.line}"], whole=True)
    else:
        write_lines(
            [f"The ledger of {plural(proof.first, 'line')} is the beginning of that of {proof.size}."]
        )
        write_lines([f"Head: {proof.head.digits}"], whole=True)
    if kept is None:
        write_lines(["Not checked: No kept head was compared. It holds for this one alone:", wanted.digits])


def _ledger(setting: CommandContext) -> SealLedger:
    from wizard.trust.seal_ledger import NAME, load_ledger

    folder = setting.store.ledger_folder.path
    found = load_ledger(folder)
    if found is None:
        raise UsageError(f"There is no ledger here ({folder / NAME}). Begin one: steadfoot ledger add --all.")
    return found


def _called(setting: CommandContext, found: SealLedger, name: str) -> str:
    """The session that was named as the ledger has it, whether or not it is still here."""
    from wizard.journal.session_name import is_session, named

    there = named(name, tuple(found.by_session)) if is_session(name) else ()
    if len(there) != 1:
        raise UsageError(f"{harmless(name)} is not in the ledger. Add it: steadfoot ledger add.")
    return there[0]
