"""``steadfoot key``: the Ed25519 key of this computer, by which closed jobs and reviews are signed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import UsageError
from wizard.foreign.harmless import harmless

if TYPE_CHECKING:
    from wizard.trust.ed25519 import SigningKey


@click.group(epilog=examples("steadfoot key make", 'steadfoot key export van-3.toml --name "Van 3"'))
def key() -> None:
    """The key of this computer: make it, show it, sign with it.

    With one, a job is signed as it is closed, and so is what is written on a review. A signature shows that the key
    was held and that no byte changed since; not that a measurement was true. It needs the extra 'sign'; without it
    everything else works, and verifying says that there is no signature.
    """


@key.command(epilog=examples("steadfoot key make"))
@click.pass_obj
def make(setting: CommandContext) -> None:
    """Make the key of this computer, in a file of the home folder that this user alone can read."""
    from wizard.trust import key_file

    made = key_file.create(setting.home)
    write_lines([f"Key {grouped_key(made.public)} is in {harmless(str(setting.home / key_file.NAME))}."])
    write_lines(
        ["Closed jobs and reviews are signed by it from now on. Keep a copy where nobody else gets at it."]
    )


@key.command(epilog=examples("steadfoot key show"))
@as_json
@click.pass_obj
def show(setting: CommandContext, as_json: bool) -> None:
    """Show the public key of this computer in digits; never the private one."""
    found = _own(setting)
    if as_json:
        write_json({"public": found.public})
    else:
        write_lines([f"Key {grouped_key(found.public)}, in full {found.public}"], whole=True)


@key.command(epilog=examples('steadfoot key export van-3.toml --name "Van 3"'))
@click.argument("target", type=click.Path(path_type=Path))
@click.option("--name", required=True, metavar="NAME", help="What the shop calls this computer.")
@click.pass_obj
def export(setting: CommandContext, target: Path, name: str) -> None:
    """Write the public key to a file that 'steadfoot trust key' takes in at the shop."""
    from wizard.journal.durable_io import lost, write_new
    from wizard.trust.trusted_keys import key_table

    data = key_table(name, _own(setting).public)
    try:
        write_new(target, data)
    except FileExistsError:
        raise UsageError(f"{target}: there is something by that name. Choose another.") from None
    except OSError as error:
        raise lost("write the public key to", target, error) from error
    write_lines(
        [f"The public key is in {harmless(str(target))}. At the shop: steadfoot trust key {target.name}"]
    )


@key.command(epilog=examples("steadfoot key sign 2026-11-25-a"))
@click.argument("names", nargs=-1, required=True, metavar="ID...")
@click.pass_obj
def sign(setting: CommandContext, names: tuple[str, ...]) -> None:
    """Sign the closing seals of jobs that were closed before there was a key, as they stand today.

    What was changed before now is signed with it: such a signature shows no more than that nothing changed after.
    """
    from wizard.sessions.trusting.ledger_sessions import seals_of
    from wizard.sessions.trusting.seal_signing import SealSigner

    _own(setting)
    store, signed = setting.store, 0
    for text in names:
        name = setting.find(text)
        seals = seals_of(store.home, name)
        done = SealSigner(setting.home, store.clock).sign_again(store.home.session_folder(name), seals)
        signed += done
        write_lines(
            [f"Session {name}: {'signed' if done else 'its closing seal was signed by this key already'}."]
        )
    write_lines([f"{plural(signed, 'seal')} signed."])


def grouped_key(public: str) -> str:
    """The first 16 digits of a key in groups of four, by which a person tells keys apart."""
    from wizard.journal.sealed_block import grouped

    return grouped(public)


def _own(setting: CommandContext) -> SigningKey:
    """The key of this computer. UsageError where there is none."""
    from wizard.trust.key_file import load_key

    found = load_key(setting.home)
    if found is None:
        raise UsageError("This computer has no key. Make one: steadfoot key make.")
    return found
