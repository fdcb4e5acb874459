"""Which case would notice an edit, if it expected more at a step: found by playing it with and without the edit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import isclose

from wizard.domain.references import StepRef
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.model.expecting.step_expect import NEAR
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.seen_steps import SeenStep, StepWatch

FEW = 3
"""How many cases are looked through for one that would notice."""
NO_CASE = "no case comes to it: write one"
ALIKE = "the cases that come to it go just the same with it: write one that turns on it"


def would_notice(before: Flow, after: Flow, cases: Sequence[Case]) -> str:
    """Return what a case would have to expect at a step to notice, as it is written; or that none comes to it."""
    if not cases:
        return NO_CASE
    for case in _few(cases):
        try:
            now = _seen(after, case)
        except (KeyError, ValueError, AssertionError) as problem:
            return f"case {case.id} can't be played with it: {problem!r}"
        for where, key, says in differences(_seen(before, case), now):
            return f'case {case.id}, steps."{where}": {key} = {says}'
    return ALIKE


def _few(cases: Sequence[Case]) -> Iterable[Case]:
    return sorted(cases, key=lambda case: (len(case.attempts), len(case.answers)))[:FEW]


def _seen(flow: Flow, case: Case) -> dict[StepRef, SeenStep]:
    watch = StepWatch(lambda _step: True)
    play(flow, case, watch=watch)
    return watch.seen


def differences(
    before: dict[StepRef, SeenStep], after: dict[StepRef, SeenStep]
) -> Iterator[tuple[StepRef, str, str]]:
    """Yield the steps at which something was seen otherwise, with the key of a case and its value as it was before."""
    for where, was in before.items():
        now = after.get(where)
        if now is None:
            yield where, "reach", f'"{was.reach}"'
            continue
        for key in ("believed", "leaves"):
            one, other = getattr(was, key), getattr(now, key)
            for condition, values in one.items():
                if other.get(condition) != values:
                    yield where, key, f"{{ {condition} = [{_quoted(sorted(values))}] }}"
        if was.cautions != now.cautions:
            yield where, "cautions", f"[{_quoted(was.cautions)}]"
        for key in ("verdict", "next", "reach"):
            if getattr(was, key) != getattr(now, key):
                yield where, key, f'"{getattr(was, key) or ""}"'
        for finding, e in was.evidence.items():
            if finding not in now.evidence or not isclose(now.evidence[finding], e, abs_tol=NEAR):
                yield where, "evidence", f"{{ {finding} = {e:.2g} }}"
        if not isclose(was.waits, now.waits, abs_tol=NEAR):
            yield where, "waits", f"{was.waits:.4g}"


def _quoted(words: Iterable[str]) -> str:
    return ", ".join(f'"{word}"' for word in words)
