"""Check a flow whole: its form, then, where that is sound, all that has to be proved through the engine."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from itertools import takewhile
from typing import TYPE_CHECKING

from wizard.flow.loading.static_check import Examined, cases_of, examine
from wizard.flow.parsing.flow_files import WEAK
from wizard.flow.problems import Problem, errors
from wizard.flowcheck.approval.approval_check import ApprovalBeside, approved
from wizard.flowcheck.checks import Counts, Coverage, coverage, prove, prove_cases, prove_played
from wizard.flowcheck.checks.played_cases import run

if TYPE_CHECKING:
    from wizard.flow.rules.rule_context import FlowIndex
    from wizard.flowcheck.cases.case_result import Played
    from wizard.flowcheck.cases.stop_cases import StopTried

NOTHING = Counts()


@dataclass(frozen=True, slots=True)
class FlowCheckResult:
    """What was found. ``proved`` is False where the form has errors, which are repaired first. ``cases`` counts them;
    ``played``, ``stops`` and ``coverage`` are there where they were played; ``counts`` says what was proved.
    """

    problems: tuple[Problem, ...]
    proved: bool
    cases: int = 0
    played: tuple[Played, ...] = ()
    stops: tuple[StopTried, ...] = ()
    coverage: Coverage | None = None
    counts: Counts = NOTHING
    examined: Examined | None = field(default=None, repr=False, compare=False)

    @property
    def sound(self) -> bool:
        """True when there are no errors; warnings may be left."""
        return self.proved and not errors(self.problems)


def check(
    content: Mapping[str, bytes],
    play: bool = False,
    beside: ApprovalBeside | None = None,
    going: Callable[[], bool] = lambda: True,
) -> FlowCheckResult:
    """Check the files of a flow (name with forward slashes -> bytes). With ``play`` its cases are played as well.

    ``beside`` is what lies beside its folder, with which its claims are compared; without it they are not. ``going`` is
    asked before each case: where it says no, the rest is not played, and what is returned is of no use.
    """
    found = examine(content)
    if not found.sound or found.flow is None or found.index is None:
        return FlowCheckResult(found.problems, False, examined=found)
    cases = cases_of(found)
    proof = prove(found.flow, index=found.index)
    problems: list[Problem] = [
        *found.problems,
        *proof.problems,
        *prove_cases(found.flow, cases, found.index),
        *(approved(found.flow, found.index, beside) if beside is not None else ()),
    ]
    if not play:
        return FlowCheckResult(_in_order(problems), True, len(cases), counts=proof.counts, examined=found)
    problems += _stale(found.index)
    from wizard.flowcheck.cases.stop_cases import stops  # Late, as in run: only who plays cases pays for it.

    played = run(found.flow, takewhile(lambda _case: going(), cases))
    tried = stops(found.flow, zip(cases, (one.records for one in played), strict=False))
    problems += prove_played(found.flow, played, found.index, tried)
    covered = coverage(found.flow, played, tried)
    return FlowCheckResult(_in_order(problems), True, len(cases), played, tried, covered, proof.counts, found)


def _stale(index: FlowIndex) -> tuple[Problem, ...]:
    """What a flow's weak.toml accepts and isn't there any more. Every edit of the flow is made for it."""
    if WEAK not in index.source.sound:
        return ()
    from wizard.flowcheck.weak.accepted import stale  # Late: few flows have one.
    from wizard.flowcheck.weak.flow_edits import each_edit

    return tuple(stale(index, each_edit(index)))


def _in_order(problems: list[Problem]) -> tuple[Problem, ...]:
    return tuple(sorted(problems, key=lambda p: p.place))
