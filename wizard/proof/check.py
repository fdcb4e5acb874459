"""Check a flow whole: its form, then, where that is sound, all that has to be proved through the engine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from wizard.flow.case import Case, build_case
from wizard.flow.check import Examined, examine
from wizard.flow.problems import Problem, errors
from wizard.proof.proofs import Coverage, coverage, prove, prove_cases, prove_played
from wizard.proof.proofs.played import run

if TYPE_CHECKING:
    from wizard.proof.cases import Played


@dataclass(frozen=True, slots=True)
class Checked:
    """What was found. ``proved`` is False where the form has errors, which are mended first. ``cases`` counts them;
    ``played`` and ``coverage`` are there where they were played.
    """

    problems: tuple[Problem, ...]
    proved: bool
    cases: int = 0
    played: tuple[Played, ...] = ()
    coverage: Coverage | None = None

    @property
    def sound(self) -> bool:
        """True when there are no errors; warnings may be left."""
        return self.proved and not errors(self.problems)


def check(content: Mapping[str, bytes], play: bool = False) -> Checked:
    """Check the files of a flow (name with forward slashes -> bytes). With ``play`` its cases are played as well."""
    found = examine(content)
    if not found.sound or found.flow is None:
        return Checked(found.problems, False)
    cases = cases_of(found)
    problems = [
        *found.problems,
        *prove(found.flow, book=found.book),
        *prove_cases(found.flow, cases, found.book),
    ]
    if not play:
        return Checked(_in_order(problems), True, len(cases))
    played = run(found.flow, cases)
    problems += prove_played(found.flow, played, found.book)
    return Checked(_in_order(problems), True, len(cases), played, coverage(found.flow, played))


def _in_order(problems: list[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(problems, key=lambda p: p.place))


def cases_of(found: Examined) -> tuple[Case, ...]:
    """The cases of a flow that was examined and is sound, in the order of their files."""
    documents = found.book.source.sound if found.book else {}
    return tuple(build_case(documents[name]) for name in sorted(documents) if name.startswith("cases/"))
