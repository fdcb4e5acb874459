"""``steadfoot trust``: the public keys of a shop's computers, and the flows that it approved."""

from __future__ import annotations

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table
from wizard.errors import UsageError
from wizard.foreign.harmless import harmless


@click.group(epilog=examples("steadfoot trust key van-3.toml", "steadfoot trust flow washer-shake"))
def trust() -> None:
    """What this shop trusts, in trusted.toml of the home folder: a file that may be written by hand as well."""


@trust.command(
    "key", epilog=examples("steadfoot trust key van-3.toml", 'steadfoot trust key 3d40... --name "Van 3"')
)
@click.argument("source", metavar="FILE or DIGITS")
@click.option("--name", default="", metavar="NAME", help="What the shop calls it; a file may say it.")
@click.pass_obj
def trust_key(setting: CommandContext, source: str, name: str) -> None:
    """Trust a public key: a file of 'steadfoot key export', or its 64 digits with --name.

    Compare the digits with those of 'steadfoot key show' on that computer: whoever brings the file could bring another.
    """
    from wizard.cli.trust.key_commands import grouped_key
    from wizard.foreign.file_reader import typed_path
    from wizard.trust import trusted_keys
    from wizard.trust.ed25519 import is_public

    digits = "".join(source.split()).lower()
    found = {digits: name} if is_public(digits) else dict(trusted_keys.load_file(typed_path(source)).keys)
    if len(found) != 1:
        raise UsageError(f"{harmless(source)}: it holds {len(found)} keys, and one is taken at a time.")
    public, called = next(iter(found.items()))
    called = name or called
    if not called:
        raise UsageError("Say what the shop calls it: --name.")
    trusted_keys.trust(setting.home, trusted_keys.TrustedKind.COMPUTER, called, public)
    write_lines([f"Key {grouped_key(public)} is known to this shop as {harmless(called)}."])


@trust.command(
    "flow", epilog=examples("steadfoot trust flow washer-shake", "steadfoot trust flow ./flows/our-shake")
)
@click.argument("flow", metavar="FLOW or DIGEST")
@click.option(
    "--name", default="", metavar="NAME", help="What the shop calls it. [default: the flow's own name]"
)
@click.pass_obj
def trust_flow(setting: CommandContext, flow: str, name: str) -> None:
    """Approve a flow as it stands today, by its digest: verifying says of a session whether its flow is one of these.

    Once one is listed, those that come with the program are approved no more unless they are listed too.
    """
    from wizard.flow.parsing.flow_files import digest, read_folder
    from wizard.trust import trusted_keys
    from wizard.trust.ed25519 import is_public

    value = flow.lower()
    if not is_public(value):
        folder = setting.folder_of(flow)
        value, name = digest(read_folder(folder)), name or folder.name
    if not name:
        raise UsageError("Say what the shop calls it: --name.")
    trusted_keys.trust(setting.home, trusted_keys.TrustedKind.FLOW, name, value)
    write_lines([f"The flow of digest {value[:16]} is approved as {harmless(name)}."])


@trust.command("list", epilog=examples("steadfoot trust list"))
@as_json
@click.pass_obj
def list_trusted(setting: CommandContext, as_json: bool) -> None:
    """List the keys that this shop knows, and the flows that it approved."""
    from wizard.trust.trusted_keys import TrustedKind, load_trusted

    found = load_trusted(setting.home)
    rows = [(TrustedKind.COMPUTER.value, name, digits) for digits, name in found.keys.items()]
    rows += [(TrustedKind.FLOW.value, name, digits) for digits, name in found.flows.items()]
    if as_json:
        write_json([{"kind": kind, "name": name, "digits": digits} for kind, name, digits in rows])
    elif rows:
        write_table(rows, ("kind", "name", "digits"))
    else:
        write_lines(["This shop knows no key and approved no flow of its own."])
