"""One edit tried: its form, its proofs, what was approved, and the cases that can tell."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from wizard.engine.safety.flow_rules import Rules
from wizard.flow.loading.static_check import Examined, cases_of, examine
from wizard.flow.model import Flow
from wizard.flow.model.acts import acts
from wizard.flow.model.case import Case
from wizard.flow.parsing.flow_files import read_folder
from wizard.flowcheck.approval.approval_check import ApprovalBeside, approved
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played
from wizard.flowcheck.cases.stop_cases import stops
from wizard.flowcheck.checks import fault_evidence_reach, prove
from wizard.flowcheck.checks.corroboration import evidence
from wizard.flowcheck.model.counterexample import Counterexample, Places
from wizard.flowcheck.weak.edit_kinds import EditKind, Noticed
from wizard.flowcheck.weak.edit_touches import at_step
from wizard.flowcheck.weak.edited_flow import EditedFlow, Known, edited, names
from wizard.flowcheck.weak.flow_edit import EditTouch, FlowEdit
from wizard.flowcheck.weak.would_notice import would_notice

AS_APPROVED = 2
"""How many cases are tried for an edit that the approval tells already, to say whether a case would as well."""
STOPPING = frozenset({EditKind.STOP, EditKind.KNOWN_BAD, EditKind.OWED, EditKind.UNABLE})
"""Kinds of edits that the answers that stop work are tried for."""
SILENT = frozenset({EditKind.CAUTION})
"""Kinds of edits that change nothing of how a job goes: only cases that expect something of that step can tell."""


@dataclass(frozen=True, slots=True)
class EditTrial:
    """What came of an edit. ``says`` is what noticed it, in words; where nothing did, what would. ``cases`` were played
    of ``could``, those that come to it.
    """

    edit: FlowEdit
    noticed: Noticed
    says: str
    cases: int = 0
    could: int = 0


@dataclass(slots=True)
class TrialBench:
    """A flow whose edits are tried, and what is so of it as it stands. ``expecting`` has the numbers of the cases
    that expect something of a step, by the step, its inspection, its limit and its tool.
    """

    base: Examined
    cases: tuple[Case, ...]
    beside: ApprovalBeside
    approved: Known
    proofs: Known
    expecting: Mapping[EditTouch, frozenset[int]]

    @classmethod
    def of(cls, folder: Path) -> TrialBench:
        """The bench of the flow in a folder, which is sound."""
        base = examine(read_folder(folder))
        assert base.flow is not None and base.index is not None
        beside = ApprovalBeside.of(folder)
        cases = cases_of(base)
        return cls(
            base,
            cases,
            beside,
            names(approved(base.flow, base.index, beside)),
            names(prove(base.flow, index=base.index).problems),
            _expecting(base.flow, cases),
        )

    @property
    def flow(self) -> Flow:
        """The flow as it stands."""
        assert self.base.flow is not None
        return self.base.flow

    def tried(self, edit: FlowEdit, could: Sequence[int], most: int) -> EditTrial:
        """Try one edit against the first ``most`` of the cases of these numbers."""
        flow = edited(self.base, edit)
        if flow.same:
            return EditTrial(edit, Noticed.SAME, "")
        if flow.says:
            return EditTrial(edit, Noticed.FORM, flow.says)
        if proof := self._proved(flow):
            return EditTrial(edit, Noticed.PROOF, proof)
        claim = self._claimed(flow)
        able = [n for n in could if edit.kind not in SILENT or self._expects(n, edit)]
        some = able[: min(most, AS_APPROVED) if claim else most]
        for played, number in enumerate(some, 1):
            case = self.cases[number]
            if says := self._failed(flow.flow, case, edit):
                return EditTrial(edit, Noticed.CASE, f"{case.id}: {says}", played, len(could))
        if claim:
            return EditTrial(edit, Noticed.APPROVAL, claim, len(some), len(could))
        says = would_notice(self.flow, flow.flow, [self.cases[n] for n in could])
        return EditTrial(edit, Noticed.NONE, says, len(some), len(could))

    def _expects(self, number: int, edit: FlowEdit) -> bool:
        """Whether a case expects something of a step that the edit touches, or of one of its inspection."""
        return any(number in self.expecting.get(touch, ()) for touch in edit.touches)

    def _proved(self, changed: EditedFlow) -> str:
        """The first thing that the proofs say and didn't before, or nothing."""
        places = Places(changed.index)
        before, after = self.flow, changed.flow
        found: Iterable[Counterexample]
        if (before.conditions, before.reaches, before.facts) == (
            after.conditions,
            after.reaches,
            after.facts,
        ) and (acts(before) == acts(after)):
            found = (*evidence(Rules.of(after), places), *fault_evidence_reach.faults(after, places))
        else:
            found = prove(after, index=changed.index).problems
        new = (p for p in found if (p.file, p.rule, p.text) not in self.proofs)
        return next((f"[{p.rule}] {p.text}" for p in new), "")

    def _claimed(self, changed: EditedFlow) -> str:
        """The first claim that differs from what was approved, or nothing."""
        assert changed.index is not None
        found = approved(changed.flow, changed.index, self.beside)
        return next((p.text for p in found if (p.file, p.rule, p.text) not in self.approved), "")

    def _failed(self, flow: Flow, case: Case, edit: FlowEdit) -> str:
        """What a case says of the edited flow, or an answer in it that should stop work; nothing where all is well."""
        try:
            played = play(flow, case)
        except (KeyError, ValueError, AssertionError) as problem:
            return f"it can't be played: {problem!r}"
        if not played.ok:
            return " ".join(played.problems)
        return _unstopped(flow, case, played) if edit.kind in STOPPING else ""


def _unstopped(flow: Flow, case: Case, played: Played) -> str:
    tried = stops(flow, [(case, played.records)])
    return next(
        (f"{one.key} should stop work: {one.problem}" for one in tried if one.tried and one.problem), ""
    )


@lru_cache(maxsize=1)
def bench(folder: Path) -> TrialBench:
    """Return the bench of a folder, made once a process."""
    return TrialBench.of(folder)


def _expecting(flow: Flow, cases: Iterable[Case]) -> Mapping[EditTouch, frozenset[int]]:
    found: dict[EditTouch, set[int]] = {}
    for number, case in enumerate(cases):
        for where in case.steps:
            for touch in at_step(flow, where):
                found.setdefault(touch, set()).add(number)
    return {touch: frozenset(numbers) for touch, numbers in found.items()}
