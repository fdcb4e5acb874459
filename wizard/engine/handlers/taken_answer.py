"""What a step is left by: the answer taken, what it says of findings, and where it leads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from wizard.diagnosis.evidence_combination import combined
from wizard.diagnosis.noisy_or.graded_evidence import GradedEvidence
from wizard.domain.chosen_answers import chosen_text
from wizard.domain.vocabulary import AnswerHow, FaultSeverity, RefusalReason, Verdict
from wizard.engine.handlers.transaction import Transaction
from wizard.engine.measuring import judging
from wizard.engine.queries.stopping_answers import times_given
from wizard.engine.safety.state_machines import OVER
from wizard.engine.state.job_state import Run
from wizard.errors import Refused
from wizard.flow import model
from wizard.flow.model import Step
from wizard.flow.model.acts import answer_effects
from wizard.measure.quantities import units
from wizard.measure.uncertainty.grading import word_ratios


@dataclass(frozen=True, slots=True)
class TakenAnswer:
    """What a step is left by: the ids chosen, and all that they bring about as one answer.

    ``answer`` has the id of the one whose way is gone: the first of the step where several are ticked, or none.
    ``how`` unable or not fitted: nothing was chosen, and ``answer`` is what the step says of that.
    """

    chosen: tuple[str, ...]
    answer: model.Answer
    how: AnswerHow = AnswerHow.ANSWER


def merged(step: Step, given: tuple[str, ...], unasked: tuple[str, ...] = ()) -> TakenAnswer:
    """The answer of that id; of several ticked ones, one that brings about all that they do. Refused if unknown.

    Of ``unasked`` ones a tick tells nothing, nor does none: the record has what was asked.
    """
    ids = tuple(i for i in given if i not in unasked)
    found = [a for a in (step.answer(i) for i in ids) if a is not None]
    fits = step.many or len(ids) == 1
    if not fits or len(found) != len(ids) or len(set(ids)) != len(ids):
        raise Refused(RefusalReason.UNKNOWN, f"{chosen_text(ids)} is not an answer here.")
    if step.where and not ids:
        raise Refused(
            RefusalReason.UNKNOWN, "Tick at least one place: it stands in the record and on the papers."
        )
    if len(found) == 1:
        return TakenAnswer(ids, replace(found[0], so=answer_effects(step, ids, unasked)))
    first = step.answers[0]
    worst = Verdict.worst(a.verdict for a in found if a.verdict)
    together = model.Answer(
        id=first.id,
        says=", ".join(a.says for a in found) or "None of these",
        next=first.next,
        verdict=worst,
        so=answer_effects(step, ids, unasked),
        stop=next((a.stop for a in found if a.stop), ""),
        leaves_out=any(a.leaves_out for a in found),
    )
    return TakenAnswer(ids, together)


def evidence_of(step: Step, ids: tuple[str, ...]) -> Mapping[str, float]:
    """What an answer says of findings: e = w for 'finds', 1 - w for 'rules_out' and for 'unticked' left alone.

    An answer that says how bad it is gives what it finds graded.
    """
    heard: dict[str, list[float]] = {}
    for a in step.answers:
        given = a.id in ids
        for finding, w in a.finds.items() if given else ():
            heard.setdefault(finding, []).append(_found(w, a.severity))
        for finding, w in (a.rules_out if given else a.unticked).items():
            heard.setdefault(finding, []).append(1.0 - w)
    return {finding: combined(es) for finding, es in heard.items()}


def _found(weight: float, severity: FaultSeverity | None) -> float:
    """The evidence of an answer that finds something: graded where it says how bad it is, short of certain."""
    if severity is None or weight >= 1.0:
        return weight
    return GradedEvidence(weight, word_ratios(weight, severity.rank))


def grades_of(evidence: Mapping[str, float]) -> Mapping[str, tuple[float, ...]]:
    """The log ratios by severity of the findings whose evidence is graded, as they are kept."""
    return {
        f: tuple(round(each, 6) for each in e.log_ratios)
        for f, e in evidence.items()
        if isinstance(e, GradedEvidence)
    }


def outcome_text(unit: str, outcome: judging.JudgedOutcome) -> str:
    """The judged values as a line for the record: 'damper 1, out 58.3 N +- 2.1; side to side 0.4 deg (...)'."""
    parts = []
    for j in outcome.items:
        value = units.text(j.mean, unit, j.uncertainty) if unit else f"{j.mean:.4g}"
        parts.append(f"{j.name} {value}".strip() + (f" ({j.says})" if j.says else ""))
    return "; ".join(parts)


def not_done(step: Step, how: AnswerHow) -> TakenAnswer:
    """What a step is left by that was not done, or whose part is not fitted."""
    out = model.Answer(id=how.value, next=step.unable.next, stop=step.unable.stop)
    return TakenAnswer((), out, how)


def onward(d: Transaction, run: Run, step: Step, taken: TakenAnswer) -> tuple[str, str]:
    """The step that follows by the machine, and the reason to stop, if the answer is one."""
    answer = taken.answer
    before = times_given(d.state, run, step.id, taken.chosen, taken.how)
    exhausted = bool(answer.most) and before >= answer.most
    if taken.how is AnswerHow.ANSWER:
        goes = d.rules.runs.after(run.inspection, step.id, answer.id, exhausted)
    else:
        goes = d.rules.runs.after_unable(run.inspection, step.id)
    if goes is None:
        raise Refused(RefusalReason.UNKNOWN, f"{answer.id} is not an answer here.")
    goes = OVER if run.only else goes
    then = answer.then.stop if exhausted and answer.then is not None else ""
    return goes, then or answer.stop
