"""A flow as it lies on the disk now: checked whole, compared with its approval, its cases played where asked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from wizard.errors import FlowError
from wizard.flow.loading.static_check import cases_of
from wizard.flow.model import Flow
from wizard.flow.model.case import Case
from wizard.flow.parsing import flow_files
from wizard.flow.problems import Problem, errors
from wizard.flowcheck.approval.approval_check import RULE, ApprovalBeside
from wizard.flowcheck.approval.claim_changes import ClaimChange, changes
from wizard.flowcheck.approval.flow_claims import claims
from wizard.flowcheck.flow_check import FlowCheckResult, check


@dataclass(frozen=True, slots=True)
class FlowReading:
    """What was read of a flow's folder, and what came of it.

    ``content`` are the files by their names, ``flow`` is None where the flow has errors of form, and ``trouble`` says
    why nothing could be read at all. ``beside`` is the approval beside the folder and ``differing`` what differs from
    it. ``seconds``: how long it took, where whoever read it says so.
    """

    folder: Path
    content: Mapping[str, bytes] = field(default_factory=dict, repr=False)
    checked: FlowCheckResult | None = None
    flow: Flow | None = None
    cases: tuple[Case, ...] = ()
    beside: ApprovalBeside | None = None
    differing: tuple[ClaimChange, ...] = ()
    trouble: str = ""
    seconds: float = 0.0

    @property
    def problems(self) -> tuple[Problem, ...]:
        """Errors before warnings, those of the cases last: they often follow from another."""
        found = self.checked.problems if self.checked is not None else ()
        return tuple(sorted(found, key=lambda p: (p.severity, flow_files.of_case(p.file))))

    @property
    def errors(self) -> int:
        """How many errors there are."""
        return len(errors(self.problems))

    @property
    def played(self) -> bool:
        """True where the cases were played."""
        return self.checked is not None and bool(self.checked.played)

    @property
    def sound(self) -> bool:
        """True where there is no error, and everything was proved."""
        return self.checked is not None and self.checked.sound

    @property
    def unapprovable(self) -> str:
        """Why nobody approves this as it was read; empty where somebody may. A difference from an approval is no
        reason: that is what is approved.
        """
        if self.beside is not None and self.beside.unreadable:
            return self.beside.unreadable
        if self.flow is None or errors(problem for problem in self.problems if problem.rule != RULE):
            return "It is not sound, so nobody approves it yet."
        return ""

    def source(self, name: str) -> tuple[str, ...]:
        """The lines of one of the files as they were read; none of a file that was not."""
        return tuple(self.content.get(name, b"").decode("utf-8", "replace").splitlines())


def read_flow(folder: Path, play: bool = False, going: Callable[[], bool] = lambda: True) -> FlowReading:
    """Read the flow in a folder and check it whole; with ``play`` its cases are played too. Nothing is raised for a
    folder that can't be read: ``trouble`` says why. ``going`` is asked before each case: whether it is still wanted.
    """
    try:
        content = flow_files.read_folder(folder)
        beside = ApprovalBeside.of(folder)
        checked = check(content, play, beside, going)
    except FlowError as problem:
        return FlowReading(folder, trouble=str(problem))
    found = checked.examined
    flow = found.flow if found is not None and found.sound else None
    differing: tuple[ClaimChange, ...] = ()
    if flow is not None and beside.approval is not None:
        differing = tuple(changes(beside.approval.claims, claims(flow), flow))
    cases = cases_of(found) if found is not None and flow is not None else ()
    return FlowReading(folder, content, checked, flow, cases, beside, differing)
