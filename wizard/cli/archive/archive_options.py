"""What the commands of the archive share: the options that say what a session must be, the database, progress."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.flag_options import ABOUT, GRAVITIES
from wizard.domain.vocabulary import JobOutcome

if TYPE_CHECKING:
    from wizard.archive.archive_query import ArchiveFilter
    from wizard.archive.bringing_up import BringingUp

SIGNS = ("to-read", "unsigned", "changed", "signed", "returned", "training", "answered")
OUTCOMES = (*(outcome.value for outcome in JobOutcome), "under-way", "damaged-end")
URL = "STEADFOOT_ARCHIVE"
EVERY = 100
"""So many sessions between two lines of progress."""

OPTIONS = (
    ("machine", "Maker or model holds this."),
    ("serial", "Serial number holds this."),
    ("maker", "Maker holds this."),
    ("kind", "How the machine is built, such as front-loader."),
    ("fault", "A fault confirmed or repaired, by its id."),
    ("part", "A part fitted or ordered, by its id."),
    ("technician", "Somebody of this name worked on it."),
    ("since", "From this day, month or year on."),
    ("until", "Up to this day, month or year."),
    ("flag", "A flag that was raised, such as no-proving."),
    ("flow", "The flow, by its id."),
    ("version", "The flow's version: the beginning of its digest."),
)


def filters(function: Any) -> Any:
    """The options that say what a session must be."""
    for name, says in OPTIONS:
        function = click.option(f"--{name}", default="", metavar=name.upper(), help=says)(function)
    function = click.option(
        "--about", type=click.Choice(ABOUT), default=None, help="A flag about this was raised."
    )(function)
    function = click.option(
        "--gravity", type=click.Choice(GRAVITIES), default=None, help="A flag of this gravity was raised."
    )(function)
    function = click.option("--outcome", type=click.Choice(OUTCOMES), default=None, help="How it ended.")(
        function
    )
    return click.option(
        "--sign", type=click.Choice(SIGNS), default=None, help="How it stands with its reviewer."
    )(function)


def written(function: Any) -> Any:
    """The options that say what rows are written as."""
    function = click.option("--csv", "as_csv", is_flag=True, help="Write CSV, for a spreadsheet.")(function)
    return click.option(
        "--list", "as_list", is_flag=True, help="Write rows on a terminal too, instead of the screen."
    )(function)


def brought_up(function: Any) -> Any:
    """The options that say which index is asked, and how it is brought up."""
    for option in (
        click.option(
            "--processes", type=click.IntRange(1, 64), default=2, show_default=True, help="At a time."
        ),
        click.option("--url", envvar=URL, default="", metavar="URL", help=f"Another database. Also: {URL}."),
        click.option(
            "--quick",
            is_flag=True,
            help="Don't look closer at sessions that are new: their risk stays unknown.",
        ),
    ):
        function = option(function)
    return function


def filter_of(given: Mapping[str, str | None], words: str = "", **more: Any) -> ArchiveFilter:
    """The filter that options make."""
    from wizard.archive.archive_query import ArchiveFilter

    asked: dict[str, Any] = {name: value for name, value in given.items() if value}
    return ArchiveFilter(words=words, **asked, **more)


def progress(what: BringingUp, done: int, of: int) -> bool:
    """A line on standard error now and then, so that what is written can be read by a program."""
    from wizard.archive.bringing_up import BATCH

    if of > 1 and done and (done // EVERY > (done - BATCH) // EVERY or done == of):
        click.echo(f"{done} of {of} sessions {what.value}", err=True)
    return True
