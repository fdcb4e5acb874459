"""What a reviewer does with a session: go through it again, look at its flags, send it, take one in."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.flag_options import ABOUT, GRAVITIES
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.domain.counting import plural
from wizard.errors import UsageError
from wizard.foreign.harmless import harmless

if TYPE_CHECKING:
    from wizard.review.flags.flag import Flag

SHOWN = 3
"""So many flags of a rule are written where nobody asks for all."""

EXPLAINED = (
    "A flag asks for a second look; it proves nothing. Thresholds: flags.toml in the home folder, in the form of the "
    "one that comes with the program."
)


@click.command(
    epilog=examples("steadfoot session replay 2026-11-25-a", "steadfoot session replay 2026-11-25-a --at 37")
)
@click.argument("name", metavar="ID")
@click.option("--at", "event", type=click.IntRange(min=0), default=0, metavar="N", help="Open at this event.")
@click.option("--list", "as_list", is_flag=True, help="Write the time line instead of opening the screen.")
@as_json
@click.pass_context
def replay(ctx: click.Context, name: str, event: int, as_list: bool, as_json: bool) -> None:
    """Go through a session again, event by event, as it was then. Nothing of it is changed."""
    from wizard.cli import replay_text
    from wizard.sessions.damaged_session import refuse_broken

    setting: CommandContext = ctx.obj
    name = setting.find(name)
    if event and (as_list or as_json):
        raise UsageError(
            "--at opens the screen at an event; a list has all of them. Leave one of the two out."
        )
    if as_json or as_list:
        loaded = setting.store.salvage(name)
        if as_json:
            write_json(replay_text.table_of(loaded))
        else:
            write_lines(replay_text.lines_of(loaded))
        refuse_broken(loaded)
    else:
        from wizard import screens

        setting.store.home.session_folder(name)
        ctx.exit(screens.run_replay(setting.store, name, event))


@click.command(
    epilog=examples("steadfoot session flags 2026-11-25-a", "steadfoot session flags 2026-11-25-a --json")
)
@click.argument("name", metavar="ID")
@click.option("--about", type=click.Choice(ABOUT), default=None, help="Only flags about this.")
@click.option("--gravity", type=click.Choice(GRAVITIES), default=None, help="Only flags of this gravity.")
@click.option("--all", "every", is_flag=True, help="All of a rule that has many.")
@as_json
@click.pass_obj
def flags(
    setting: CommandContext, name: str, about: str | None, gravity: str | None, every: bool, as_json: bool
) -> None:
    """List what a reviewer may want to look at in a session, the gravest first, each with its evidence and its place.

    Of a rule that has many the first few stand for all. A flag asks for a second look; it proves nothing. A shop sets
    its own thresholds in HOME/flags.toml.
    """
    from wizard.review.flags import flag_rules as look
    from wizard.review.flags.flag_sum import flag_sum
    from wizard.review.replay import Replay

    name = setting.find(name)
    loaded = setting.store.load(name)
    found = look.flags(Replay(loaded.flow, loaded.records), look.load(setting.home))
    found = tuple(f for f in found if about in (None, f.kind) and gravity in (None, f.gravity))
    if as_json:
        sorts = ({"where": str(f.where or ""), "kind": f.kind, "gravity": f.gravity} for f in found)
        write_json([asdict(flag) | more for flag, more in zip(found, sorts, strict=True)])
        return
    count = f"{plural(len(found), 'thing')} to look at" if found else "nothing"
    whole = flag_sum(found)
    write_lines([f"Session {name}: {count}{f': {whole.words}' if found else ''}."], whole=True)
    for rule in whole.rules:
        for flag in rule.flags if every else rule.flags[:SHOWN]:
            write_lines(_lines(flag))
        if not every and len(rule.flags) > SHOWN:
            write_lines([f"and {len(rule.flags) - SHOWN} more of [{rule.flags[0].rule}] (--all)"])
    if found:
        write_lines([EXPLAINED])


def _lines(flag: Flag) -> tuple[str, ...]:
    place = f"  {flag.where}" if flag.where else ""
    sort = f"{flag.gravity}, {flag.kind}"
    return (
        f"event {flag.seq}, {flag.at[:16]}{place}  [{flag.rule}]  {sort}",
        f"  {flag.says}",
        f"  {flag.evidence}",
    )


@click.command(
    epilog=examples(
        "steadfoot session export 2026-11-25-a", "steadfoot session export 2026-11-25-a ./sent.zip"
    )
)
@click.argument("name", metavar="ID")
@click.argument("target", type=click.Path(path_type=Path), default=Path())
@as_json
@click.pass_obj
def export(setting: CommandContext, name: str, target: Path, as_json: bool) -> None:
    """Write a session to one zip that replays on another machine: journal, flow, photos, papers, review.

    TARGET is a file or a folder; without it the zip is written here.
    """
    from wizard.sessions.damaged_session import damage_lines, refuse_broken
    from wizard.sessions.transfer import export as write

    name = setting.find(name)
    path = write(setting.store, name, target)
    loaded = setting.store.salvage(name)
    if as_json:
        write_json(
            {"session": name, "file": str(path), "bytes": path.stat().st_size, "damage": list(loaded.damage)}
        )
    else:
        write_lines(
            [f"{harmless(str(path))}: session {name}, {path.stat().st_size / 1000:.0f} kB."], whole=True
        )
        write_lines(damage_lines(loaded.damage))
    refuse_broken(loaded)


COMMANDS: tuple[click.Command, ...] = (replay, flags, export)
