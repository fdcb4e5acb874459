"""``steadfoot archive visits``: the jobs at one machine side by side."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.archive.archive_options import brought_up, progress
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.archive.visits.machine_visit import MachineVisit


@click.command(
    epilog=examples("steadfoot archive visits 0044711A", "steadfoot archive visits 2026-11-25-a --json")
)
@click.argument("machine", metavar="SERIAL or SESSION")
@brought_up
@as_json
@click.pass_obj
def visits(
    setting: CommandContext, machine: str, quick: bool, url: str, processes: int, as_json: bool
) -> None:
    """Hold the jobs at one machine side by side: complaint, findings, readings, repairs, proof, and what changed.

    A machine is its maker and serial number; a part of the number will do where one machine alone has it.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import bring_up
    from wizard.archive.visits.machine_visit import machine_words, plates, visits_of

    with ArchiveIndex.open(setting.home, url) as index:
        bring_up(index, setting.store, not quick, processes, progress)
        found = plates(index, machine)
        if len(found) > 1:
            named = ", ".join(machine_words(row) for _plate, row in found[:10])
            raise UsageError(
                f"{len(found)} machines have {machine!r} in their serial number: {named}. Write more of it."
            )
        ((plate, row),) = found
        jobs = visits_of(index, setting.store, plate)
    if as_json:
        write_json(_table(machine_words(row), jobs))
    else:
        write_lines([f"{machine_words(row)}: {plural(len(jobs), 'job')}"])
        write_lines(_lines(jobs))


def _lines(jobs: Sequence[MachineVisit]) -> Iterator[str]:
    """A line a job under each topic; then what changed."""
    from wizard.archive.visits.visit_table import changes, topics

    for topic in topics(jobs):
        yield f"{topic.says}:"
        yield from (f"  {one.session}: {cell}" for one, cell in zip(jobs, topic.cells, strict=True))
    for before, after in pairwise(jobs):
        yield f"From {before.session} to {after.session}:"
        yield from (f"  {sentence}" for sentence in changes(before, after))


def _table(machine: str, jobs: Sequence[MachineVisit]) -> dict[str, Any]:
    from wizard.archive.visits.visit_table import changes, topics

    return {
        "machine": machine,
        "sessions": [one.session for one in jobs],
        "topics": [asdict(topic) for topic in topics(jobs)],
        "changes": [
            {"from": before.session, "to": after.session, "says": list(changes(before, after))}
            for before, after in pairwise(jobs)
        ],
    }
