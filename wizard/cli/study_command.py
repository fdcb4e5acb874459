"""``steadfoot flow study``: whole jobs at practice machines, and what they say of a flow's diagnosis."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.practice.study_scores import Row

SHOWN = {
    "jobs": "jobs", "first": "first_right", "all top": "all_on_top", "decided": "decided",
    "right/dec": "right_when_decided", "min dec": "minutes_to_decision", "min close": "minutes_to_close",
    "wrong rep": "wrong_repairs", "wrong part": "wrong_parts", "leaves": "leaves_a_fault",
    "shakes on": "still_shakes",
}  # fmt: skip
"""The heads of the table, and which score stands under each."""
WHOLE = frozenset({"jobs", "minutes_to_decision", "minutes_to_close"})
"""The scores that are shown without decimals."""
SURE = 0.93
"""From here the advice calls a fault decided."""
EVERY = 10
"""So many jobs between two lines of progress."""


@click.command(
    epilog=examples(
        "steadfoot flow study washer-shake",
        "steadfoot flow study washer-shake --machines 400 --faults 2",
        "steadfoot flow study flows/washer-shake --practice flows/practice/washer-shake --json",
    )
)
@click.argument("name", default="washer-shake", metavar="[FLOW]")
@click.option(
    "--practice", metavar="FOLDER", help="The practice machines; by default those of the flow's id."
)
@click.option("--machines", type=click.IntRange(1, 100_000), default=100, show_default=True, help="How many.")
@click.option("--faults", type=click.IntRange(1, 2), default=1, show_default=True, help="Hidden in each.")
@click.option(
    "--seed",
    type=click.IntRange(0, 10_000),
    default=1,
    show_default=True,
    help="Another draws other machines.",
)
@click.option("--processes", type=click.IntRange(1, 64), default=2, show_default=True, help="At a time.")
@as_json
@click.pass_obj
def study(
    setting: CommandContext,
    name: str,
    practice: str | None,
    machines: int,
    faults: int,
    seed: int,
    processes: int,
    as_json: bool,
) -> None:
    """Play whole jobs at practice machines with hidden faults, led by the advice, and score the diagnosis.

    A machine is made of physics, and nothing of it is drawn from the flow's weights. The rows: how often the likeliest
    fault is there (first), all causes lead the ranking (all top), the advice says decided and is right, minutes to
    the decision and to the close, repairs and parts for nothing a job, jobs that leave a cause behind (leaves), and
    jobs whose owner would call again (shakes on).
    """
    from wizard.practice.study import played, seeds
    from wizard.practice.study_scores import table

    folder = setting.folder_of(name)
    rows: list[Row] = []
    for row in played(folder, _practice(setting, folder, practice), seeds(seed, machines), faults, processes):
        rows.append(row)
        if len(rows) % EVERY == 0 or len(rows) == machines:
            click.echo(f"{len(rows)} of {machines}", file=sys.stderr)
    if as_json:
        write_json(table(rows))
    else:
        write_lines(_report(rows), whole=True)


def _practice(setting: CommandContext, folder: Path, named: str | None) -> Path:
    """The folder of the practice machines; a UsageError where there is none."""
    from wizard.practice.practice_loader import practice_folder

    at = Path(named) if named else practice_folder(setting.load(folder).id)
    if not at.is_dir():
        raise UsageError(f"{at}: no such folder. Name one that holds practice machines by --practice.")
    return at


def _report(rows: list[Row]) -> list[str]:
    from wizard.practice.study_scores import calibration, groups, scores

    lines = [f"{'':18}" + "".join(f"{head:>11}" for head in SHOWN), _line("all", scores(rows))]
    for by, of in groups(rows).items():
        lines += [f"by {by}", *(_line(f"  {one}", scores(some)) for one, some in sorted(of.items()))]
    notes = calibration(rows)
    lines.append(
        f"likeliest fault: Brier {notes['brier']:.3f}, log loss {notes['log_loss']:.3f}; "
        f"every fault: Brier {notes['brier_of_every_fault']:.4f}"
    )
    lines += [f"  said {t['said']:.2f}, right {t['right']:.2f}, of {t['jobs']}" for t in notes["tenths"]]
    outcomes = [row.outcome for row in rows]
    lines.append("ended: " + ", ".join(f"{o} {outcomes.count(o)}" for o in sorted(set(outcomes))))
    return [*lines, *_odd(rows)]


def _line(title: str, some: dict[str, float]) -> str:
    cells = (f"{some[score]:11.0f}" if score in WHOLE else f"{some[score]:11.2f}" for score in SHOWN.values())
    return f"{title:18}" + "".join(cells)


def _odd(rows: list[Row]) -> list[str]:
    """The jobs that are worth a look: sure of what isn't there, or without an end."""
    wrong = [row for row in rows if row.order and row.order[0][1] >= SURE and not row.first_right]
    notes = [
        f"sure and wrong: seed {row.seed}, {row.kind}, {', '.join(f'{f} {s}' for f, s in row.causes.items())}; "
        f"said {row.order[0][0]}"
        for row in wrong
    ]
    return notes + [f"no end: seed {row.seed}, {row.stuck}" for row in rows if row.stuck]
