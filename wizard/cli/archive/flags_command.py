"""``steadfoot archive flags``: how often each rule's flags are called fair, and thresholds taken and taken back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

import click

from wizard.cli.archive.archive_options import brought_up, progress
from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines, write_table
from wizard.errors import UsageError

if TYPE_CHECKING:
    from wizard.archive.trends.flag_rates import FlagRate
    from wizard.review.flags.threshold_taking import TakenThreshold

HEADS = ("flag", "sessions", "fair", "of judged", "share", "95 %", "threshold", "proposed")
EXPLAINED = (
    "Fair is what a reviewer called it beside a session (f in the replay, then y or x). Those that were judged are "
    "those that somebody opened: the share is of them. A proposed threshold still raises every flag that was called "
    "fair; --take puts it into HOME/flags.toml, --undo takes it back."
)


@click.command(
    epilog=examples(
        "steadfoot archive flags",
        "steadfoot archive flags --take step-quick",
        "steadfoot archive flags --undo",
    )
)
@click.option(
    "--take", "rule", default="", metavar="FLAG", help="Take the threshold that is proposed for this flag."
)
@click.option("--undo", is_flag=True, help="Take back the last threshold that was taken.")
@brought_up
@as_json
@click.pass_obj
def flags(
    setting: CommandContext, rule: str, undo: bool, quick: bool, url: str, processes: int, as_json: bool
) -> None:
    """Say how often each rule's flags were called fair over all sessions, and which threshold would drop the others.

    Nothing changes until a threshold is taken, and then in HOME/flags.toml alone. Sessions are looked at again by it
    when the archive is opened next.
    """
    from wizard.archive.archive_index import ArchiveIndex
    from wizard.archive.bringing_up import bring_up
    from wizard.archive.trends.flag_rates import flag_rates
    from wizard.review.flags import threshold_taking
    from wizard.review.flags.thresholds import load

    if undo and rule:
        raise UsageError("--take and --undo are two things. Leave one out.")
    if undo:
        _said(threshold_taking.undo(setting.home), "Taken back", as_json)
        return
    with ArchiveIndex.open(setting.home, url) as index:
        bring_up(index, setting.store, not quick, processes, progress)
        found = flag_rates(index, load(setting.home))
    if not rule:
        _write(found, setting, as_json)
        return
    one = next((rate for rate in found if rate.rule == rule), None)
    if one is None:
        raise UsageError(f"There is no flag {rule!r}. There are: {', '.join(rate.rule for rate in found)}.")
    if one.proposal is None:
        raise UsageError(f"Nothing is proposed for {rule}: {one.why}.")
    at = datetime.now(UTC).isoformat(timespec="seconds")
    done = threshold_taking.take(setting.home, one.rule, one.proposal.key, one.proposal.proposed, at)
    _said(done, "Taken", as_json)


def _write(found: Sequence[FlagRate], setting: CommandContext, as_json: bool) -> None:
    from wizard.review.flags.flag_measures import HELD
    from wizard.review.flags.thresholds import load

    if as_json:
        write_json([asdict(rate) for rate in found])
        return
    numbers = load(setting.home)
    rows = []
    for rate in found:
        held = HELD.get(rate.rule)
        now = f"{held.key} {numbers.number(rate.rule, held.key):g}" if held else "-"
        share = f"{rate.fair / rate.judged * 100:.0f} %" if rate.judged else "-"
        between = f"{rate.low * 100:.0f} to {rate.high * 100:.0f} %" if rate.judged else "-"
        proposed = f"{rate.proposal.proposed:g}" if rate.proposal else "-"
        counts = [f"{rate.raised}", f"{rate.fair}", f"{rate.judged}"]
        rows.append([rate.rule.value, *counts, share, between, now, proposed])
    write_table(rows, HEADS)
    write_lines([*_proposals(found), EXPLAINED])


def _proposals(found: Sequence[FlagRate]) -> Iterator[str]:
    for one in (rate.proposal for rate in found if rate.proposal):
        yield (
            f"{one.rule}: {one.key} {one.proposed:g} instead of {one.now:g} would still raise all {one.kept} that were "
            f"called fair and drop {one.dropped} that were not. With 95 % it would drop at most {one.lost * 100:.0f} % "
            "of the fair ones to come."
        )


def _said(one: TakenThreshold, word: str, as_json: bool) -> None:
    if as_json:
        table: dict[str, Any] = asdict(one)
        del table["text"], table["written"]
        write_json(table)
        return
    was, now = (one.was, one.now) if word == "Taken" else (one.now, one.was)
    write_lines([f"{word}: [{one.rule}] {one.key} = {now:g}, which was {was:g}."])
