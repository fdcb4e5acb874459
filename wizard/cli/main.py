"""The command ``steadfoot``: the options that every command shares, and the commands, imported when they are called."""

from __future__ import annotations

import importlib
import sys
from collections.abc import Mapping, Sequence

import click

from wizard import VERSION
from wizard.cli.guard import guarded
from wizard.cli.out import examples
from wizard.cli.setting import Setting

GROUPS: Mapping[str, tuple[str, str]] = {
    "job": ("wizard.cli.job", "Work on a job: a new one, or one taken up again."),
    "flow": ("wizard.cli.flow", "The flows: list them, check them, draw them, begin a new one."),
    "case": ("wizard.cli.case", "Cases: play them, make one of a session."),
    "session": (
        "wizard.cli.session",
        "The sessions: list, show, replay, verify, send, take in.",
    ),
}
"""Each command, the module that holds it under the same name, and what it does. Help reads no module but this one."""


class Late(click.Group):
    """A group that imports a command when it is called, and lists all without importing any."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of the commands, in the order of the table."""
        return list(GROUPS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in GROUPS:
            return None
        command: click.Command = getattr(importlib.import_module(GROUPS[cmd_name][0]), cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands into the help."""
        with formatter.section("Commands"):
            formatter.write_dl([(name, says) for name, (_module, says) in GROUPS.items()])


@click.group(
    cls=Late,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100},
    epilog=examples(
        "steadfoot",
        "steadfoot --home ./van-3 job",
        "steadfoot case run flows/washer-shake/cases/dampers-worn.toml",
    ),
)
@click.option(
    "--home",
    envvar="STEADFOOT_HOME",
    metavar="DIR",
    help="Where sessions, own flows and sheets are kept. Also: STEADFOOT_HOME. [default: this user's data folder]",
)
@click.version_option(VERSION, prog_name="steadfoot", message="%(prog)s %(version)s")
@click.pass_context
def steadfoot(ctx: click.Context, home: str | None) -> None:
    """Take a technician through a whole job on a washer that shakes, bangs or walks.

    With no command the home screen opens: begin a job, or take one up again.
    """
    ctx.obj = Setting.of(home)
    if ctx.invoked_subcommand is None:
        setting: Setting = ctx.obj
        ctx.exit(setting.screens("home"))


def main(args: Sequence[str] | None = None) -> int:
    """Run the command line (``sys.argv`` by default) and return the exit code: see ``wizard.errors.EXIT_CODES``."""
    return guarded(steadfoot, list(sys.argv[1:] if args is None else args))
