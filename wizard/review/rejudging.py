"""What was measured and answered in a session, judged once more: by another flow, or by the limits of a service sheet.

Nothing is played again: each answer that counts stands, and what it says is taken from the other flow's step of the
same name. So it says how the evidence of the decision would have been judged, not what would have been asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from wizard.domain.references import StepRef
from wizard.domain.vocabulary import AnswerHow, Verdict
from wizard.engine.guidance.session_ranking import RankedFault, ranking
from wizard.engine.handlers.taken_answer import evidence_of
from wizard.engine.measuring import figure_evidence, judging
from wizard.engine.measuring.computing import outcome_of
from wizard.engine.measuring.input_values import step_at
from wizard.engine.measuring.judging import JudgedOutcome
from wizard.engine.measuring.sheet_limits import used_limit
from wizard.engine.measuring.spin_comparison import spin_before
from wizard.engine.state.decision_view import decision_view
from wizard.engine.state.job_state import AnswerRecord, changed
from wizard.engine.state.job_view import JobView
from wizard.flow.loading.service_sheet import Sheet
from wizard.flow.model import ComputeStep, Flow, Limit, MeasureStep, RecordStep, Step

SAME = 1e-9
"""Evidence that differs by less is the same."""


@dataclass(frozen=True, slots=True)
class StepChange:
    """A step that is judged otherwise. ``before``, ``after``: its verdict, None where there is none; ``limits``: what
    it was judged by, then and now; ``outcome``: what was measured, as it is judged now, None where nothing was;
    ``findings``: by id the evidence then and now, of those that differ; ``why`` it can't be judged now, or empty.
    """

    where: StepRef
    title: str
    before: Verdict | None
    after: Verdict | None
    limits: tuple[Limit | None, Limit | None] = (None, None)
    outcome: JudgedOutcome | None = None
    findings: Mapping[str, tuple[float, float]] | None = None
    why: str = ""


@dataclass(frozen=True, slots=True)
class Rejudged:
    """A session judged once more: how many answers, those that differ, and the ranking at the decision then and now."""

    session: str
    flows: tuple[tuple[str, str], tuple[str, str]]
    judged: int
    changes: tuple[StepChange, ...]
    before: tuple[RankedFault, ...]
    after: tuple[RankedFault, ...]
    decided: tuple[str, ...] | None

    @property
    def leader_changed(self) -> bool:
        """Whether another fault leads now."""
        return bool(self.before and self.after) and self.before[0].fault != self.after[0].fault


def rejudge(view: JobView, flow: Flow, sheet: Sheet | None = None) -> Rejudged:
    """Return the session in ``view`` judged by ``flow``, and by the limits of ``sheet`` where one is given."""
    then = decision_view(view)
    sheets = view.state.sheets
    if sheet is not None:
        limits = tuple(used_limit(limit) for limit in sheet.limits)
        sheets = (*sheets, (sheet.model, sheet.source, limits))
    now = JobView.of(flow, changed(then.state, sheets=sheets))
    changes, records, count = [], [], 0
    for given in then.state.answer_records:
        again, change = _again(then, now, given)
        records.append(again)
        count += not given.aside and given.how is AnswerHow.ANSWER
        changes += [change] if change is not None else []
    now = now.at(changed(now.state, answer_records=tuple(records)))
    return Rejudged(
        view.state.session,
        ((view.flow.id, view.flow.version), (flow.id, flow.version)),
        count,
        tuple(changes),
        ranking(then),
        ranking(now),
        view.state.decided,
    )


def _again(then: JobView, now: JobView, given: AnswerRecord) -> tuple[AnswerRecord, StepChange | None]:
    """The answer with what the other flow takes of it, and how that differs; itself where it doesn't count."""
    if given.aside or given.how is not AnswerHow.ANSWER:
        return given, None
    step, old = step_at(now.flow, given.ref), step_at(then.flow, given.ref)
    title = old.do if old is not None else str(given.ref)
    if step is None or (old is not None and step.kind is not old.kind):
        why = (
            "The flow has no such step."
            if step is None
            else f"The step is of another kind there: {step.kind}."
        )
        lost = replace(given, evidence={}, verdict=None)
        found = {f: (e, 0.5) for f, e in given.evidence.items()}
        return lost, StepChange(given.ref, title, given.verdict, None, findings=found, why=why)
    if isinstance(step, MeasureStep | ComputeStep):
        return _measured(then, now, given, step, title)
    return _chosen(given, step, title, _spoken(now, given, step))


def _spoken(now: JobView, given: AnswerRecord, step: Step) -> Mapping[str, float]:
    """What an answer says of findings there; of a record step, what its recording says by the rows there."""
    kept = now.state.spin(given.recording)
    if isinstance(step, RecordStep):
        before = spin_before(now.state, step)
        return figure_evidence.evidence(step, kept.spin, before) if kept is not None else {}
    return evidence_of(step, given.chosen)


def _measured(
    then: JobView, now: JobView, given: AnswerRecord, step: MeasureStep | ComputeStep, title: str
) -> tuple[AnswerRecord, StepChange | None]:
    """A step judged by a limit: its readings as they stand, by the limit of the other flow, or of the sheet."""
    outcome = outcome_of(now, given, step)
    if outcome is None:
        lost = replace(given, evidence={}, verdict=None)
        why = "It can't be computed from what was measured."
        found = {f: (e, 0.5) for f, e in given.evidence.items()}
        return lost, StepChange(given.ref, title, given.verdict, None, findings=found, why=why)
    evidence = {**outcome.evidence, **evidence_of(step, (outcome.answer,))}
    again = replace(given, chosen=(outcome.answer,), verdict=outcome.verdict, evidence=evidence)
    findings = dict(_differing(given.evidence, evidence))
    if again.verdict is given.verdict and not findings:
        return again, None
    old = step_at(then.flow, given.ref)
    limits = (judging.limit_of(then, old) if old is not None else None, judging.limit_of(now, step))
    return again, StepChange(given.ref, title, given.verdict, again.verdict, limits, outcome, findings)


def _chosen(
    given: AnswerRecord, step: Step, title: str, evidence: Mapping[str, float]
) -> tuple[AnswerRecord, StepChange | None]:
    """A step answered by a choice: what the other flow's answers of the same ids say."""
    unknown = [a for a in given.chosen if step.answer(a) is None]
    again = replace(given, evidence=evidence)
    findings = dict(_differing(given.evidence, evidence))
    why = f"The step has no answer {', '.join(unknown)} there." if unknown else ""
    if not findings and not why:
        return again, None
    return again, StepChange(given.ref, title, given.verdict, given.verdict, findings=findings, why=why)


def _differing(
    old: Mapping[str, float], new: Mapping[str, float]
) -> Iterator[tuple[str, tuple[float, float]]]:
    """The findings of which the evidence differs; what is not spoken of says nothing: 0.5."""
    for finding in dict.fromkeys((*old, *new)):
        pair = (old.get(finding, 0.5), new.get(finding, 0.5))
        if abs(pair[0] - pair[1]) > SAME:
            yield finding, pair
