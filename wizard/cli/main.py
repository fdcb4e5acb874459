"""The command ``steadfoot``: the options that every command shares, and the commands, imported when they are
called.
"""

from __future__ import annotations

import gc
import sys
from collections.abc import Sequence

import click

from wizard import VERSION
from wizard.cli.context import CommandContext
from wizard.cli.error_exit import guarded
from wizard.cli.lazy_group import HOME, LazyGroup, Table
from wizard.cli.output import examples
from wizard.platform.linear_algebra import one_thread

GROUPS: Table = {
    "job": ("wizard.cli.job_command", "Work on a job: a new one, or one that is resumed."),
    "flow": ("wizard.cli.flow_commands", "The flows: list them, check them, draw them, begin a new one."),
    "case": ("wizard.cli.case_commands", "Cases: play them, make one of a session."),
    "session": (
        "wizard.cli.session_commands",
        "The sessions: list, show, replay, verify, send, take in.",
    ),
    "archive": (
        "wizard.cli.archive.archive_group",
        "Sessions by words and facts, those worth reading first; trends.",
    ),
    "key": ("wizard.cli.trust.key_commands", "The key of this computer: make it, show it, sign with it."),
    "trust": ("wizard.cli.trust.trust_commands", "What this shop trusts: public keys, and approved flows."),
    "ledger": (
        "wizard.cli.trust.ledger_commands",
        "The shop's list of closing seals: what was removed shows.",
    ),
    "recording": (
        "wizard.cli.recordings.recording_commands",
        "Recordings of a whole spin: a phone's motion or sound.",
    ),
}
"""Each command, the module that holds it under the same name, and what it does. Help reads no module but this one."""


@click.group(
    cls=LazyGroup,
    late=GROUPS,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=examples(
        "steadfoot",
        "steadfoot --home ./van-3 job",
        "steadfoot case run flows/washer-shake/cases/suspension/dampers.toml",
    ),
)
@click.option(
    "--home",
    envvar="STEADFOOT_HOME",
    metavar="DIR",
    help=f"{HOME} Also: STEADFOOT_HOME. [default: this user's data folder]",
)
@click.option(
    "--ledger",
    "shop",
    envvar="STEADFOOT_LEDGER",
    metavar="DIR",
    help="Where the shop's ledger lies, such as on a share. Also: STEADFOOT_LEDGER. [default: the home folder]",
)
@click.version_option(VERSION, prog_name="steadfoot", message="%(prog)s %(version)s")
@click.pass_context
def steadfoot(ctx: click.Context, home: str | None, shop: str | None) -> None:
    """Take a technician through a whole job on a faulty machine, such as a washer that shakes, bangs or walks.

    With no command the home screen opens: begin a job, or resume one.
    """
    one_thread()
    ctx.obj = CommandContext.of(home, shop)
    if ctx.invoked_subcommand is None:
        setting: CommandContext = ctx.obj
        ctx.exit(setting.screens())


def main(args: Sequence[str] | None = None) -> int:
    """Run the command line (``sys.argv`` by default) and return the exit code: see ``wizard.errors.EXIT_CODES``."""
    code = guarded(steadfoot, list(sys.argv[1:] if args is None else args))
    if args is None:
        gc.freeze()  # Only the end is left: looking for reference cycles would take a tenth of the whole run.
    return code
