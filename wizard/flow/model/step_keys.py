"""What a step of any kind has of the keys that only some kinds have: what it reads, computes, and is judged by."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from wizard.domain.vocabulary import Aid
from wizard.flow.model.measuring import Reading
from wizard.flow.model.steps import ChooseStep, JudgedStep, MeasureStep, RecordStep, Step

_NO_BANDS: Mapping[str, tuple[str, ...]] = {}


def reading_of(step: Step) -> Reading | None:
    """Return what a step reads, or None where it takes no reading."""
    return step.reading if isinstance(step, MeasureStep) else None


def limit_id(step: Step) -> str:
    """Return the id of the limit that a step is judged by, or empty."""
    return step.limit if isinstance(step, JudgedStep) else ""


def bands_of(step: Step) -> Mapping[str, tuple[str, ...]]:
    """Return the findings that a step's bands speak for, each with their ids; empty where it has none."""
    return step.evidence if isinstance(step, JudgedStep) else _NO_BANDS


def findings_of(steps: Collection[Step]) -> frozenset[str]:
    """Return every finding that a band, an answer or a figure of these steps speaks for or against."""
    findings = {finding for step in steps for finding in bands_of(step)}
    rows = [row for step in steps if isinstance(step, RecordStep) for row in step.figures]
    findings.update(finding for row in rows for finding in (*row.finds, *row.rules_out))
    findings.update(f for step in steps for a in step.answers for f in (*a.finds, *a.rules_out, *a.unticked))
    return frozenset(findings)


def aid_of(step: Step) -> Aid | None:
    """Return what helps to measure at a step, or None."""
    return step.aid if isinstance(step, JudgedStep) else None


def place_fact(step: Step) -> str:
    """Return the id of the fact that says how many places there are to tick, or empty."""
    return step.each if isinstance(step, ChooseStep) else ""
