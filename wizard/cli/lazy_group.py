"""A group of commands that imports a command when it is called: its help reads none of them."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click

Table = Mapping[str, tuple[str, str]]
"""Each command, the module that holds one of that name, and what it does."""

HOME = "Where sessions, own flows and sheets are kept."
"""What the option ``--home`` names."""


def at_home(command: click.Command) -> click.Command:
    """A command, and those under it, with the option ``--home`` as the program itself has it: the last one counts."""
    if not any("--home" in parameter.opts for parameter in command.params):
        command.params.append(
            click.Option(["--home"], metavar="DIR", expose_value=False, callback=_move, help=HOME)
        )
    for below in command.commands.values() if isinstance(command, click.Group) else ():
        at_home(below)
    return command


def _move(ctx: click.Context, _parameter: click.Parameter, home: str | None) -> None:
    """Work with this home folder from here on."""
    if home is None or ctx.resilient_parsing:
        return
    from wizard.cli.context import CommandContext

    made = ctx.find_object(CommandContext)
    moved = made.at(home) if made is not None else CommandContext.of(home)
    above: click.Context | None = ctx
    while above is not None:
        above.obj, above = moved, above.parent


class LazyGroup(click.Group):
    """A group with a table of commands to come late, beside those that it has already."""

    def __init__(self, *args: Any, late: Table, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.late = late

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of the commands: its own, then those of the table, in the order of both."""
        return [*self.commands, *self.late]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, or None."""
        if cmd_name not in self.late:
            own = super().get_command(ctx, cmd_name)
            return own and at_home(own)
        held = vars(importlib.import_module(self.late[cmd_name][0])).values()
        return at_home(
            next(each for each in held if isinstance(each, click.Command) and each.name == cmd_name)
        )

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands into the help."""
        own = [(name, command.get_short_help_str(80)) for name, command in self.commands.items()]
        with formatter.section("Commands"):
            formatter.write_dl([*own, *((name, says) for name, (_module, says) in self.late.items())])
