"""``python -m tests.faults``, from the project's folder: faults under a job, the real program ended, foreign contents.

Contents come by chance (``--contents``) or are led by coverage (``--guided``).
Prints a table of each part that is asked for; what was wrong stands below it, with what makes it again.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.faults.fault_kinds import Fault, FaultKind, Outcome, Workload
from tests.faults.fault_try import faults, reference, tried
from tests.faults.foreign_contents import Fuzzed, fuzzed, readers
from tests.faults.guided.guided_fuzz import LEFT_OUT, Guided, available, guided, guided_table
from tests.faults.killed_program import Ending, Killed, killed


def main(arguments: list[str] | None = None) -> int:
    """Run the parts that are asked for; 1 where anything was wrong."""
    parser = argparse.ArgumentParser(prog="python -m tests.faults", description=__doc__.splitlines()[0])
    parser.add_argument("--tries", type=int, default=0, help="faults under a job, of every kind alike")
    parser.add_argument("--kills", type=int, default=0, help="runs of the real program, ended at any moment")
    parser.add_argument("--contents", type=int, default=0, help="contents for each reader of what is foreign")
    parser.add_argument("--guided", type=int, default=0, metavar="SECONDS", help="the same led by coverage")
    parser.add_argument(
        "--runs", type=int, default=-1, help="contents for each reader led by coverage, at most"
    )
    parser.add_argument("--reader", action="append", choices=readers(), help="this one alone; may come again")
    parser.add_argument("--keep", type=Path, help="the folder that contents which went wrong are put into")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args(arguments)
    wrong: list[str] = []
    if asked.tries:
        wrong += _print(_faults(asked.tries, asked.seed))
    if asked.kills:
        wrong += _print(_kills(asked.kills, asked.seed))
    if asked.contents:
        wrong += _print(_contents(asked.contents, asked.seed))
    if asked.guided and not available():
        print(LEFT_OUT)
    elif asked.guided:
        wrong += _print(_guided(asked))
    return 1 if wrong else 0


def _print(part: tuple[list[str], list[str]]) -> list[str]:
    lines, wrong = part
    print("\n".join(lines), *wrong, "", sep="\n", flush=True)
    return wrong


def _going(what: str, count: int, of: int) -> None:
    if count % 20 == 0:
        print(f"{what}: {count} of {of}", file=sys.stderr, flush=True)


def _faults(count: int, seed: int) -> tuple[list[str], list[str]]:
    found: list[Outcome] = []
    for number, fault in enumerate(faults(count, seed)):
        _going("faults", number, count)
        found.append(tried(fault))
    return fault_table(found), [_again(one) for one in found if not one.ok]


def fault_table(found: list[Outcome]) -> list[str]:
    """A row for each kind of fault."""
    sizes = ", ".join(f"{len(reference(w).events)} events in a {w}" for w in Workload)
    head = "| fault | tries | came | lost | invented | not said | stuck |"
    rows = [f"A whole job: {sizes}.", "", head, "|---" * 7 + "|"]
    rows += [_row(kind, [o for o in found if o.fault.kind is kind]) for kind in FaultKind]
    return [*rows, _row("all", found)]


def _row(name: str, found: list[Outcome]) -> str:
    numbers = (
        len(found), sum(o.came for o in found), sum(o.lost for o in found), sum(o.invented for o in found),
        sum(bool(o.unsaid) for o in found), sum(bool(o.stuck) for o in found),
    )  # fmt: skip
    return f"| {name} | {' | '.join(map(str, numbers))} |"


def _again(one: Outcome) -> str:
    fault: Fault = one.fault
    return (
        f"{fault}: {one.acknowledged} acknowledged, {one.lost} lost, {one.invented} invented. {one.unsaid} "
        f"{one.stuck} {' '.join(one.notes)}"
    )


def _kills(count: int, seed: int) -> tuple[list[str], list[str]]:
    found: list[Killed] = []
    for number in range(count):
        _going("runs", number, count)
        found.append(killed(number, seed))
    rows = [
        "| the program is | runs | events on the disk before it ended | lost | wrong |",
        "|---|---|---|---|---|",
    ]
    for ending in Ending:
        some = [one for one in found if one.ending is ending]
        lost = sum(max(0, one.seen - one.kept) for one in some)
        rows.append(
            f"| {ending} | {len(some)} | {sum(k.seen for k in some)} | {lost} | {sum(bool(k.wrong) for k in some)} |"
        )
    return rows, [
        f"run {n} of seed {seed}: {one.ending}: {one.wrong}" for n, one in enumerate(found) if one.wrong
    ]


def _contents(count: int, seed: int) -> tuple[list[str], list[str]]:
    found = list(_each(count, seed))
    rows = ["| reader | contents | longest, s | memory taken, MB | wrong |", "|---|---|---|---|---|"]
    rows += [
        f"| {one.reader} | {one.contents} | {one.longest:.2f} | {one.grown:.0f} | {1 if one.wrong else 0} |"
        for one in found
    ]
    rows.append(
        f"| all | {sum(one.contents for one in found)} | {max(one.longest for one in found):.2f} | | |"
    )
    return rows, [f"{one.reader}: {one.wrong}" for one in found if one.wrong]


def _each(count: int, seed: int) -> Iterator[Fuzzed]:
    for number, name in enumerate(readers()):
        print(f"readers: {number} of {len(readers())}", file=sys.stderr, flush=True)
        yield fuzzed(name, count, seed)


def _guided(asked: argparse.Namespace) -> tuple[list[str], list[str]]:
    found: list[Guided] = []
    for name in asked.reader or readers():
        print(f"led by coverage: {name}", file=sys.stderr, flush=True)
        found.append(guided(name, asked.guided, asked.seed, asked.runs, asked.keep))
        print(*guided_table(found[-1:])[2:3], *found[-1].found, sep="\n", file=sys.stderr, flush=True)
    return guided_table(found), [f"{one.reader}: {text}" for one in found for text in one.found]


if __name__ == "__main__":
    sys.exit(main())
