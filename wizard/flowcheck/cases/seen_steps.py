"""What a case sees at a step when it is answered first, and what of it is otherwise than the case expects."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from math import isclose
from typing import TYPE_CHECKING

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import SignalWord, Verdict
from wizard.engine.state.job_view import JobView
from wizard.flow.model.case import Case
from wizard.flow.model.expecting.step_expect import NEAR, StepExpect
from wizard.safety import Belief

if TYPE_CHECKING:
    from wizard.engine.session import Session

Unmet = tuple[tuple[str | int, ...], str]
"""What isn't met, as ``Played.unmet`` has it, and a sentence."""

MINUTE = 60.0


@dataclass(frozen=True, slots=True)
class SeenStep:
    """A step as it was answered: ``waits`` in minutes, ``believed`` before the answer and ``leaves`` after it."""

    reach: str
    cautions: tuple[SignalWord, ...]
    believed: Belief
    leaves: Belief
    verdict: Verdict | None
    evidence: Mapping[str, float]
    next: str
    waits: float


class StepWatch:
    """What is seen at steps while a case is played: each as it is answered first. ``wanted`` says of a step whether."""

    def __init__(self, wanted: Callable[[StepRef], bool]) -> None:
        self.wanted = wanted
        self.seen: dict[StepRef, SeenStep] = {}
        self._before: tuple[StepRef, JobView, float] | None = None

    def before(self, session: Session) -> None:
        """Note how things stand before the next act."""
        run = session.state.run
        if run is None or run.ref in self.seen or not self.wanted(run.ref):
            self._before = None
        else:
            self._before = run.ref, session.view, session.wait_left()

    def after(self, view: JobView) -> None:
        """Keep what was answered by that act, if its step was."""
        if self._before is None:
            return
        where, before, waits = self._before
        records = view.state.answer_records[len(before.state.answer_records) :]
        given = next((g for g in records if g.ref == where), None)
        inspection = view.flow.inspections[where.inspection]
        step = inspection.step(where.step)
        if given is None or step is None:
            return
        self.seen[where] = SeenStep(
            step.reach,
            tuple(c.word for c in (*inspection.caution, *step.caution)),
            before.belief,
            view.belief,
            given.verdict,
            dict(given.evidence),
            given.goes,
            waits / MINUTE,
        )


def unseen(case: Case, seen: Mapping[StepRef, SeenStep]) -> Iterator[Unmet]:
    """Yield what a case expects at steps and was otherwise, each with its path in the case."""
    for where, want in case.steps.items():
        found = seen.get(where)
        if found is None:
            yield ("steps", str(where)), f'"{where}" is expected to be seen, and was never answered.'
        else:
            for key, says in otherwise(want, found):
                yield ("steps", str(where), key), f"at {where} {key} is {says}."


def otherwise(want: StepExpect, found: SeenStep) -> Iterator[tuple[str, str]]:
    """Yield the key and what is so instead, for each thing that is not as a case expects it at a step."""
    if want.reach and want.reach != found.reach:
        yield "reach", f"{found.reach or 'none'}, not {want.reach}"
    if want.cautions is not None and want.cautions != found.cautions:
        yield "cautions", f"{_words(found.cautions)}, not {_words(want.cautions)}"
    for key, wanted, known in (
        ("believed", want.believed, found.believed),
        ("leaves", want.leaves, found.leaves),
    ):
        for condition, values in wanted.items():
            if known.get(condition) != values:
                yield key, f"{condition} {_words(known.get(condition, ()))}, not {_words(values)}"
    if want.verdict is not None and want.verdict != found.verdict:
        yield "verdict", f"{found.verdict or 'none'}, not {want.verdict}"
    for finding, e in want.evidence.items():
        given = found.evidence.get(finding)
        if given is None or not isclose(given, e, abs_tol=NEAR):
            yield "evidence", f"{finding} {'none' if given is None else f'{given:.2f}'}, not {e:.2f}"
    if want.next is not None and str(want.next) != found.next:
        yield "next", f"{found.next}, not {want.next}"
    if want.waits is not None and not isclose(want.waits, found.waits, abs_tol=NEAR):
        yield "waits", f"{found.waits:.2f} minutes, not {want.waits:.2f}"


def _words(words: object) -> str:
    assert isinstance(words, tuple | frozenset)
    return " or ".join(map(str, sorted(words) if isinstance(words, frozenset) else words)) or "none"
