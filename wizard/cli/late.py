"""A group of commands that imports a command when it is called: its help reads none of them."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click

Table = Mapping[str, tuple[str, str]]
"""Each command, the module that holds it under the same name, and what it does."""


class Late(click.Group):
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
            return super().get_command(ctx, cmd_name)
        command: click.Command = getattr(importlib.import_module(self.late[cmd_name][0]), cmd_name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands into the help."""
        own = [(name, command.get_short_help_str(80)) for name, command in self.commands.items()]
        with formatter.section("Commands"):
            formatter.write_dl([*own, *((name, says) for name, (_module, says) in self.late.items())])
