"""``steadfoot flow learn``: what closed sessions say of a flow's numbers; a proposal beside the flow, taken or not."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from wizard.cli.context import CommandContext
from wizard.cli.output import as_json, examples, write_json, write_lines
from wizard.errors import SteadfootError, UsageError

if TYPE_CHECKING:
    from wizard.flow.model import Flow
    from wizard.learning.observation import LeftOut
    from wizard.learning.proposal import Proposal
    from wizard.learning.session_memory import SessionMemory

EVERY = 50
"""So many sessions between two lines of progress."""


@click.command(
    epilog=examples(
        "steadfoot flow learn washer-shake",
        "steadfoot flow learn washer-shake ./van-3 ./van-4 --by kind",
        "steadfoot flow learn washer-shake --take weight:sways:rods",
        "steadfoot flow learn washer-shake --undo",
    )
)
@click.argument("name", metavar="FLOW")
@click.argument("sessions", nargs=-1, metavar="[SESSION or FOLDER]...")
@click.option(
    "--take", "ids", multiple=True, metavar="ID", help="Write this number into the flow; repeatable."
)
@click.option("--take-all", is_flag=True, help="Write every number that the sessions contradict.")
@click.option("--undo", is_flag=True, help="Take the last taking back.")
@click.option("--all", "every", is_flag=True, help="List every number, not only those that change.")
@click.option("--by", metavar="FACT", help="Look at each value of this fact apart; the kind, by default.")
@click.option("--processes", type=click.IntRange(1, 64), default=2, show_default=True, help="At a time.")
@as_json
@click.pass_obj
def learn(
    setting: CommandContext,
    name: str,
    sessions: tuple[str, ...],
    ids: tuple[str, ...],
    take_all: bool,
    undo: bool,
    every: bool,
    by: str | None,
    processes: int,
    as_json: bool,
) -> None:
    """Learn weights, leaks, shares, minutes, curves from closed sessions: those named, those of a home, or all here.

    What is learned is written as a proposal beside the flow's folder, with an interval, the sessions that speak for
    each number, and a score on later sessions. The flow itself changes only by --take or --take-all, which write what
    was proposed last and learn nothing; comments stay, and the flow's check must pass after it.
    """
    if undo and (ids or take_all or sessions):
        raise click.UsageError("--undo takes the last taking back and does nothing else. Leave out the rest.")
    if (ids or take_all) and sessions:
        raise click.UsageError("--take writes what was proposed. Learn from sessions first, then take.")
    folder = setting.folder_of(name)
    if undo or ids or take_all:
        lines = _take_back(folder) if undo else _take(folder, ids, take_all)
        write_lines(lines)
        return
    proposal, words = _learn(setting, folder, sessions, by or "", processes)
    if as_json:
        from wizard.cli.learning.learn_text import table_of

        write_json(table_of(proposal, words))
    else:
        from wizard.cli.learning.learn_text import lines_of
        from wizard.learning.proposal import path_of

        write_lines(lines_of(proposal, words, every, str(path_of(_beside(setting, folder)))))


def _learn(
    setting: CommandContext, folder: Path, sessions: tuple[str, ...], by: str, processes: int
) -> tuple[Proposal, tuple[str, ...]]:
    """Read, verify and learn; keep the proposal. Its words on kinds and on what does not settle beside it."""
    from wizard.cli.learning.learn_text import remarks
    from wizard.learning.learner import known_kind, learn
    from wizard.learning.observation import LeftOut, WhyLeftOut
    from wizard.learning.proposal import load, path_of, propose
    from wizard.learning.session_source import SessionPlace, observations, places
    from wizard.learning.taking import keep

    flow, beside = setting.load(folder), _beside(setting, folder)
    _known_fact(flow, by)
    before = load(path_of(beside))
    some = places(setting.home, sessions)
    memory = _memory(setting)
    vouched = {SessionPlace(setting.home, name): digest for name, digest in _vouched(setting, memory).items()}
    seen, left = observations(flow.id, some, processes, setting.known, _progress, memory, vouched)
    odd = [LeftOut(one.session, WhyLeftOut.NO_KIND) for one in seen if not known_kind(flow, one)]
    seen, left = tuple(one for one in seen if known_kind(flow, one)), (*left, *odd)
    if not seen:
        raise UsageError(_nothing(flow, left))
    trainer = before.trainer if before is not None else {}
    learned = learn(flow, seen, trainer, by, lambda says: click.echo(says, file=sys.stderr), processes)
    taken = before.taken if before is not None else ()
    proposal = propose(flow, learned, left, f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}", taken)
    keep(beside, proposal)
    return proposal, remarks(learned, left)


def _beside(setting: CommandContext, folder: Path) -> Path:
    """The folder beside which the proposal lies: the flow's, but of one that came with an installed program, where the
    shop's own copy of it would be.
    """
    if not _installed(folder):
        return folder
    from wizard.journal.durable_io import make_folder

    own = setting.home / "flows"
    make_folder(own)
    return own / folder.name


def _memory(setting: CommandContext) -> SessionMemory | None:
    """What is remembered of sessions; nothing in a working tree, where the rules change while the version stays."""
    from wizard import VERSION
    from wizard.cli.checked_flows import in_tree
    from wizard.learning.session_memory import NAME, SessionMemory

    return None if in_tree() else SessionMemory(setting.home / NAME, VERSION)


def _vouched(setting: CommandContext, memory: SessionMemory | None) -> dict[str, str]:
    """The digests of the sessions that this version's archive looked at and found sound; none where nothing is
    remembered, or the archive can't be asked.
    """
    from wizard import VERSION
    from wizard.archive.archive_index import NAME, ArchiveIndex
    from wizard.archive.archive_rows import vouched

    if memory is None or not (setting.home / NAME).is_file():
        return {}
    try:
        with ArchiveIndex.open(setting.home) as index:
            if not index.rules.startswith(f"{VERSION} "):
                return {}
            with index.begin() as db:
                return vouched(db)
    except SteadfootError:
        return {}  # It is but a memory: without it each session is verified once more.


def _progress(done: int, whole: int) -> None:
    if done % EVERY == 0 or done == whole:
        click.echo(f"{done} of {whole} sessions", file=sys.stderr)


def _known_fact(flow: Flow, fact: str) -> None:
    """Refuse a fact that the flow doesn't ask."""
    if fact and flow.fact(fact) is None:
        from wizard.flow.problems import nearest

        facts = [f.id for f in flow.facts]
        there = nearest(fact, facts) or f" There are: {', '.join(facts)}."
        raise UsageError(f"{flow.id} asks no fact {fact}.{there}")


def _nothing(flow: Flow, left: Sequence[LeftOut]) -> str:
    """Why there is no session to learn from, with the first one that was left out."""
    first = f" {left[0].session}: {left[0].why}. {left[0].says}".rstrip() if left else ""
    return (
        f"Of {len(left)} sessions none is a closed one of {flow.id} that can be learned from.{first} "
        "Name other sessions, or the home folder that holds them."
    )


def _proposed(folder: Path) -> Proposal:
    """The proposal beside the flow; UsageError where there is none."""
    from wizard.learning.proposal import load, path_of

    found = load(path_of(folder))
    if found is None:
        raise UsageError(f"{path_of(folder)}: nothing was learned yet. Call flow learn without --take first.")
    return found


def _take(folder: Path, ids: tuple[str, ...], take_all: bool) -> list[str]:
    """Write numbers into the flow; what was written, in words."""
    from wizard.learning.estimate import NumberId
    from wizard.learning.taking import take

    _own(folder)
    proposal = _proposed(folder)
    try:
        named = None if take_all else [NumberId.read(text) for text in ids]
    except ValueError as problem:
        raise UsageError(str(problem)) from None
    numbers = proposal.chosen(named)
    take(folder, proposal, numbers, f"{datetime.now(UTC):%Y-%m-%dT%H:%M:%SZ}")
    old = {n.id: n.estimate.old for n in proposal.numbers}
    return [
        *(f"{number}: {old[number]:g} is now {value:g}" for number, value in numbers.items()),
        f"Written into {folder}; the check passes. Its cases were not played: flow check {folder} --cases. "
        "To take it back: --undo.",
    ]


def _take_back(folder: Path) -> list[str]:
    """Put the numbers of the last taking back; which, in words."""
    from wizard.learning.taking import take_back

    _own(folder)
    _, taking = take_back(folder, _proposed(folder))
    return [
        *(
            f"{number}: {taking.since[number]:g} is {value:g} again"
            for number, value in taking.before.items()
        ),
        f"What was taken on {taking.at} is taken back; the check passes.",
    ]


def _installed(folder: Path) -> bool:
    """True for a flow inside an installed program: an update overwrites what is written there."""
    from wizard.cli.checked_flows import in_tree
    from wizard.flow.flow_places import shipped_library

    return not in_tree() and folder.resolve().is_relative_to(shipped_library().resolve().parent)


def _own(folder: Path) -> None:
    """UsageError for a flow inside an installed program."""
    if _installed(folder):
        raise UsageError(
            f"{folder} came with the program, and an update overwrites it. Copy it to flows in the home folder, "
            "learn there, then take."
        )
