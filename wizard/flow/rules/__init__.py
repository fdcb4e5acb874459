"""The static rules: each a small pure function from a flow and its places to problems."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from wizard.flow.problems import Problem
from wizard.flow.rules import (
    calculator_inputs,
    case_rules,
    condition_rules,
    consent_rules,
    establishing,
    figure_rules,
    identifiers,
    limit_bands,
    machine_fact_rules,
    procedure_proof,
    reaches,
    reference_rules,
    service_sheet_rules,
    step_graph,
    step_kinds,
    text_fit,
    unit_agreement,
    unused,
)
from wizard.flow.rules.rule_context import FlowIndex

Rule = Callable[[FlowIndex], Iterable[Problem]]

RULES: tuple[Rule, ...] = (
    *identifiers.RULES,
    *reference_rules.RULES,
    *step_kinds.RULES,
    *step_graph.RULES,
    *limit_bands.RULES,
    *unit_agreement.RULES,
    *calculator_inputs.RULES,
    *figure_rules.RULES,
    *machine_fact_rules.RULES,
    *reaches.RULES,
    *condition_rules.RULES,
    *consent_rules.RULES,
    *establishing.RULES,
    *procedure_proof.RULES,
    *text_fit.RULES,
    *unused.RULES,
    case_rules.cases,
)
"""Every rule, in the order they are run; the order makes no difference."""

IF_SOUND: tuple[Rule, ...] = (establishing.established, unused.unused)
"""What is asked only once there are no errors, which would be the cause of it."""

__all__ = ["IF_SOUND", "RULES", "FlowIndex", "Rule", "case_rules", "service_sheet_rules"]
