"""Mutation testing: does a test notice when a line of the rules is wrong?

    python -m tests.mutation safety              # go on where the last run stopped
    python -m tests.mutation safety --again      # what survived so far, once more
    python -m tests.mutation --fresh             # all groups, from nothing

Each mutant is a module changed by one thing, imported in the place of the real one in a process of its own, against the
tests of that module alone (groups.toml). Ends with 0 when of those that change something 95 in 100 are killed.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Iterable
from functools import partial
from pathlib import Path
from threading import Lock

from tests.mutation.groups import Group, equivalents, groups
from tests.mutation.kept import Kept, Result, digest
from tests.mutation.pool import Pool
from tests.mutation.sites import Mutant

WANTED = 0.95
"""The share of the mutants that change something that tests must kill."""

SEED = 1
"""From which a sample is drawn."""


def main() -> int:
    """The command."""
    options = _options()
    pool, enough = Pool(options.beside), True
    for name in options.group or groups():
        enough = _group(pool, groups()[name], options) and enough
    return 0 if enough else 1


def _options() -> argparse.Namespace:
    parser = argparse.ArgumentParser("python -m tests.mutation", description="Mutation testing.")
    parser.add_argument(
        "group", nargs="*", help=f"one or more of {', '.join(groups())}; all where none is said"
    )
    parser.add_argument("--only", default="", help="only modules whose path holds this")
    parser.add_argument("--fresh", action="store_true", help="forget what earlier runs found")
    parser.add_argument("--again", action="store_true", help="try what survived once more")
    parser.add_argument(
        "--sample", type=int, default=0, help="so many mutants of each group, drawn by seed 1"
    )
    parser.add_argument("--beside", type=int, default=2, help="trials at a time (2)")
    options = parser.parse_args()
    if unknown := [name for name in options.group if name not in groups()]:
        parser.error(f"there is no group {unknown[0]!r}; the groups are {', '.join(groups())}")
    return options


def _group(pool: Pool, group: Group, options: argparse.Namespace) -> bool:
    kept = Kept(group.name, options.fresh)
    every = [mutant for mutant in group.mutants() if options.only in mutant.path]
    if options.sample:
        every = random.Random(SEED).sample(every, min(options.sample, len(every)))
    digests = {path: digest(Path(path).read_text(encoding="utf-8")) for path in group.modules}
    same = equivalents()
    todo = [m for m in every if m.name not in same and not _done(kept, m, digests[m.path], options.again)]
    print(f"{group.name}: {len(every)} mutants, {len(todo)} to try. {group.says}", flush=True)
    pool.each(todo, partial(_try, pool, group, kept, digests, Limits(pool, group)))
    return _report(group, every, kept, same)


def _done(kept: Kept, mutant: Mutant, now: str, again: bool) -> bool:
    result = kept.holds(mutant.name, now)
    return result is not None and (result.killed or not again)


class Limits:
    """The seconds that a trial of a module may take: several times what its tests take over the module as it is."""

    def __init__(self, pool: Pool, group: Group) -> None:
        self._pool, self._group = pool, group
        self._known: dict[str, tuple[float, float]] = {}
        self._lock = Lock()

    def of(self, path: str) -> tuple[float, float]:
        """A test's by the processor, all of theirs by the clock. SystemExit where one fails without any change."""
        with self._lock:
            if path not in self._known:
                outcome = self._pool.one(path, None, self._group.modules[path], 600.0, 600.0)
                if not outcome.passed or not outcome.tests:
                    sys.exit(
                        f"The tests of {path} fail without any change: {outcome.first}. Repair them first."
                    )
                print(f"  {path}: {outcome.tests} tests in {outcome.seconds:.1f} s", flush=True)
                self._known[path] = 2.0 + 4.0 * outcome.longest, 60.0 + 10.0 * outcome.seconds
            return self._known[path]


def _try(
    pool: Pool, group: Group, kept: Kept, digests: dict[str, str], limits: Limits, mutant: Mutant
) -> None:
    outcome = pool.one(mutant.path, mutant.number, group.modules[mutant.path], *limits.of(mutant.path))
    kept.add(
        Result(
            mutant.name, digests[mutant.path], not outcome.passed, outcome.first, round(outcome.seconds, 2)
        )
    )
    if outcome.passed:
        print(f"  survived {mutant.path}:{mutant.line}  {mutant.name}", flush=True)


def _report(group: Group, every: list[Mutant], kept: Kept, same: dict[str, str]) -> bool:
    """Say the figures of each module and of the group; true when enough are killed."""
    print(f"\n{'module':52}{'mutants':>8}{'killed':>8}{'survived':>9}{'equivalent':>11}")
    for path in dict.fromkeys(m.path for m in every):
        _figures(path, [m for m in every if m.path == path], kept, same)
    return _figures(group.name, every, kept, same) >= WANTED


def _figures(title: str, some: Iterable[Mutant], kept: Kept, same: dict[str, str]) -> float:
    some = list(some)
    alike = [m for m in some if m.name in same]
    killed = [m for m in some if m.name not in same and kept.results[m.name].killed]
    changing = len(some) - len(alike)
    share = len(killed) / changing if changing else 1.0
    row = f"{title:52}{len(some):8}{len(killed):8}{changing - len(killed):9}{len(alike):11}"
    print(f"{row}  {share:.1%}", flush=True)
    return share


if __name__ == "__main__":
    sys.exit(main())
