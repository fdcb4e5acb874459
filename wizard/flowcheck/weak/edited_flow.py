"""A flow with one edit made: its tables changed and built anew, and what its form says then that it didn't before."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from wizard.flow.form.form_validation import validate
from wizard.flow.loading.static_check import Examined
from wizard.flow.model import Flow
from wizard.flow.parsing.flow_assembly import build_flow
from wizard.flow.problems import Problem, errors
from wizard.flow.rules import IF_SOUND, RULES
from wizard.flow.rules.rule_context import FlowIndex, declared
from wizard.flowcheck.weak.flow_edit import FlowEdit, made

Known = frozenset[tuple[str, str, str]]
"""Problems by their file, rule and words: where they stand may differ."""


@dataclass(frozen=True, slots=True)
class EditedFlow:
    """A flow with an edit made. ``says`` is the first thing that its form says of it; then it may have no ``index``.

    ``same``: it is the flow that it was, since what is taken out only said what goes without saying.
    """

    index: FlowIndex | None
    says: str = ""
    same: bool = False

    @property
    def flow(self) -> Flow:
        """The flow. Only of one that could be built."""
        assert self.index is not None
        return self.index.flow


def names(problems: Iterable[Problem]) -> Known:
    """Return problems without their lines, as they can be told again in a flow that was edited."""
    return frozenset((p.file, p.rule, p.text) for p in problems)


def edited(base: Examined, edit: FlowEdit) -> EditedFlow:
    """Return the flow with an edit made. ``base`` is sound; the warnings that it has are not said again."""
    assert base.index is not None
    source = base.index.source
    document = made(source.sound[edit.file], edit.keys, edit.value)
    checked = validate(source.kinds[edit.file], document)
    if checked.faults:
        return EditedFlow(None, f"[{checked.faults[0].rule}] {checked.faults[0].text}")
    sound = {**source.sound, edit.file: document}
    changed = replace(
        source, sound=sound, whole={**source.whole, edit.file: document}, wanted={}, problems=[]
    )
    try:
        flow = build_flow(sound, source.drawings, base.index.flow.digest)
    except (KeyError, ValueError) as problem:
        return EditedFlow(None, f"It can't be built: {problem}")
    if flow == base.flow:
        return EditedFlow(base.index, same=True)
    index = FlowIndex(flow, changed, declared(changed))
    known = names(base.problems)
    return EditedFlow(index, _new(index, RULES, known) or _new(index, IF_SOUND, known))


def _new(index: FlowIndex, rules: Iterable[Callable[[FlowIndex], Iterable[Problem]]], known: Known) -> str:
    """The first problem that wasn't there before."""
    for rule in rules:
        found = tuple(rule(index))
        for problem in (*errors(found), *found):
            if (problem.file, problem.rule, problem.text) not in known:
                return f"[{problem.rule}] {problem.text}"
    return ""
