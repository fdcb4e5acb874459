"""``steadfoot archive``: sessions found, and what many of them say together. Words alone are a search."""

from __future__ import annotations

import click

from wizard.cli.lazy_group import LazyGroup, Table
from wizard.cli.output import examples

FIND = "find"

COMMANDS: Table = {
    FIND: ("wizard.cli.archive.archive_command", "Find sessions by words and facts; 'find' may be left out."),
    "trends": (
        "wizard.cli.archive.trends_command",
        "Rates and times over many sessions, with what is uncertain.",
    ),
    "flags": ("wizard.cli.archive.flags_command", "How often each flag is fair, and thresholds taken."),
    "across": (
        "wizard.cli.archive.across_command",
        "What stands in several sessions and should stand in one.",
    ),
    "rebuild": ("wizard.cli.archive.rebuild_command", "Make the archive's index anew from the journals."),
    "visits": ("wizard.cli.archive.visits_command", "The jobs at one machine side by side."),
}


class SearchGroup(LazyGroup):
    """A group whose words are a search where they begin with none of its commands."""

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Put the search before a word that is no command; the home may be named first."""
        at = 0
        while at < len(args) and args[at].startswith("--home"):
            at += 2 if args[at] == "--home" else 1
        if args[at : at + 1] and args[at] in (*self.late, *ctx.help_option_names):
            return super().parse_args(ctx, args)
        return super().parse_args(ctx, [*args[:at], FIND, *args[at:]])


@click.group(
    cls=SearchGroup,
    late=COMMANDS,
    epilog=examples("steadfoot archive", "steadfoot archive bearing noise", "steadfoot archive trends back"),
)
def archive() -> None:
    """Sessions by words and facts, those worth reading first; trends.

    Words alone are a search: 'find' may be left out. On a terminal it opens the reviewer's screen.
    """
