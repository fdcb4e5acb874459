"""``steadfoot archive across``: what stands in several sessions and should stand in one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import TYPE_CHECKING

import click

from wizard.cli.archive.archive_options import brought_up, progress
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.foreign.harmless import harmless

if TYPE_CHECKING:
    from wizard.archive.across.crossing import Crossing

KINDS = ("gone", "doubled", "photo", "recording", "readings", "overlap")


@click.command(
    epilog=examples(
        "steadfoot archive across", "steadfoot archive across --kind readings --kind photo --json"
    )
)
@click.option("--kind", "kinds", multiple=True, type=click.Choice(KINDS), help="This kind alone; repeatable.")
@brought_up
@as_json
@click.pass_obj
def across(
    setting: CommandContext, kinds: Sequence[str], quick: bool, url: str, processes: int, as_json: bool
) -> None:
    """Find what stands in several sessions and should stand in one.

    A photo or a recording, byte by byte, and rows of readings, to the last figure, in sessions of different machines;
    one person at work in two jobs at the same time; a session that another one names as the one before it, and that
    isn't here, or is named twice. Each asks for a second look and proves nothing.
    """
    from wizard.archive.across.chain_crossings import last_gone
    from wizard.archive.across.crossing import CrossingKind
    from wizard.archive.across.crossings import crossing_lines, crossings
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import bring_up

    with ArchiveIndex.open(setting.home, url) as index:
        bring_up(index, setting.store, not quick, processes, progress)
        asked = tuple(map(CrossingKind, kinds)) or tuple(CrossingKind)
        found = crossings(index, asked)
    if CrossingKind.GONE in asked:
        found = (*last_gone(setting.store.home), *found)
    if as_json:
        write_json([asdict(one) for one in found])
    else:
        write_lines([*_lines(found), *crossing_lines(found)])


def _lines(found: Sequence[Crossing]) -> list[str]:
    return [harmless(line) for one in found for line in (f"{one.kind}: {one.says}", f"  {one.evidence}")]
