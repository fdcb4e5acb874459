"""The cases of a file of cases, written out and built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from wizard.domain.references import StepRef
from wizard.flow.declaring.decode import decode
from wizard.flow.model import Reading
from wizard.flow.model.case import Case
from wizard.flow.parsing.case_variants import CaseSet, WholeCase, expand


def count(reading: Reading, facts: Mapping[str, str]) -> int:
    """Return how many numbers a reading takes on a machine; ValueError if the number of items isn't known."""
    items = len(reading.places) or 1
    if reading.each:
        if not facts.get(reading.each, "").isdecimal():
            raise ValueError(f'facts: "{reading.each}" is not known, so the number of items is not')
        items = int(facts[reading.each])
    return items * max(1, len(reading.ways)) * reading.repeats


def build_cases(document: Mapping[str, Any]) -> tuple[Case, ...]:
    """Return the cases of a checked document, in the order of their tables."""
    return built(expand(document))


def built(found: CaseSet) -> tuple[Case, ...]:
    """Return the cases of a checked document that is written out, in their order."""
    return tuple(map(_of_whole, found.cases))


def build_case(table: Mapping[str, Any]) -> Case:
    """Return the case of one checked [[case]] table that has neither a base nor rows."""
    return build_cases({"case": [table]})[0]


def _of_whole(whole: WholeCase) -> Case:
    """Return a case that is written out."""
    own = frozenset((str(k[0]), StepRef.parse(str(k[1]))) for k in whole.own if k[0] in ("answers", "after"))
    return replace(decode(Case, whole.table), own=own)
