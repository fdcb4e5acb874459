"""Attempts of a case to get past a rule, one class a kind: each must be refused, or make the step at hand refused."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, ClassVar

from wizard.domain.chosen_answers import chosen_text
from wizard.domain.vocabulary import AttemptKind, RefusalReason
from wizard.flow.declaring.declaration_fields import Bounds, KeySpec
from wizard.flow.declaring.key_values import ConditionId, FaultId, Id, InspectionId, StepPath


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseAttempt:
    """What all attempts have: the step at hand when it is made, and the reason why it must be refused.

    As text, in a sentence, it is its kind and what it is done to.
    """

    kind: ClassVar[AttemptKind]

    at: Annotated[StepPath, KeySpec("When this step is asked.")]
    refused: Annotated[RefusalReason, KeySpec("The reason it must be refused for.")]

    def __str__(self) -> str:
        return f"{self.kind} {self.what}".rstrip()

    @property
    def what(self) -> str:
        """What it is done to, as text; empty where that is the step at hand."""
        return ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SkipAttempt(CaseAttempt):
    """To pass over what is asked, which is refused itself."""

    kind: ClassVar[AttemptKind] = AttemptKind.SKIP


@dataclass(frozen=True, slots=True, kw_only=True)
class CloseAttempt(CaseAttempt):
    """To close the visit, which is refused itself."""

    kind: ClassVar[AttemptKind] = AttemptKind.CLOSE


@dataclass(frozen=True, slots=True, kw_only=True)
class FitAttempt(CaseAttempt):
    """To record a repair as fitted, which is refused itself."""

    kind: ClassVar[AttemptKind] = AttemptKind.FIT

    fault: Annotated[FaultId, KeySpec("The fault that is repaired.")]

    @property
    def what(self) -> str:
        """The fault."""
        return self.fault


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerAttempt(CaseAttempt):
    """To answer another step than the one at hand, which is refused itself."""

    kind: ClassVar[AttemptKind] = AttemptKind.ANSWER

    step: Annotated[StepPath, KeySpec("The step that is answered.")]
    chosen: Annotated[tuple[Id, ...], KeySpec("What is answered; an empty list ticks none.", "answers")]

    @property
    def what(self) -> str:
        """The step, and what is answered."""
        return f"{self.step} as {chosen_text(self.chosen)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenAttempt(CaseAttempt):
    """To open an inspection, which is refused itself, or something is asked before its first step."""

    kind: ClassVar[AttemptKind] = AttemptKind.OPEN

    inspection: Annotated[InspectionId, KeySpec("What is opened.")]

    @property
    def what(self) -> str:
        """The inspection."""
        return self.inspection


@dataclass(frozen=True, slots=True, kw_only=True)
class JumpAttempt(CaseAttempt):
    """A journal that was edited to stand at a step that nothing led to: its answer is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.JUMP

    step: Annotated[StepPath, KeySpec("Where it stands.")]

    @property
    def what(self) -> str:
        """The step."""
        return str(self.step)


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgeAttempt(CaseAttempt):
    """A journal that was edited to believe what no step established: the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.FORGE

    condition: Annotated[ConditionId, KeySpec("The condition.")]
    value: Annotated[Id, KeySpec("The value that is believed.")]

    @property
    def what(self) -> str:
        """The condition and its value."""
        return f"{self.condition} {self.value}"


@dataclass(frozen=True, slots=True, kw_only=True)
class UndoAttempt(CaseAttempt):
    """To take back the last answer; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.UNDO


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveAttempt(CaseAttempt):
    """To go to the job map; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.LEAVE


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectAttempt(CaseAttempt):
    """To put another answer in place of the last one of a step; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.CORRECT

    step: Annotated[StepPath, KeySpec("The step whose answer is corrected.")]
    chosen: Annotated[tuple[Id, ...], KeySpec("What is answered; an empty list ticks none.", "answers")]

    @property
    def what(self) -> str:
        """The step, and what is answered."""
        return f"{self.step} as {chosen_text(self.chosen)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RestartAttempt(CaseAttempt):
    """The program ends and begins again; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.RESTART


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakAttempt(CaseAttempt):
    """A break is taken; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.BREAK


@dataclass(frozen=True, slots=True, kw_only=True)
class PauseAttempt(CaseAttempt):
    """Time passes without a key; then the answer to the step at hand is refused."""

    kind: ClassVar[AttemptKind] = AttemptKind.PAUSE

    seconds: Annotated[float, Bounds(0), KeySpec("How long.")]

    @property
    def what(self) -> str:
        """How long, in seconds."""
        return f"{self.seconds:g} s"


Attempt = (
    SkipAttempt
    | CloseAttempt
    | FitAttempt
    | AnswerAttempt
    | OpenAttempt
    | JumpAttempt
    | ForgeAttempt
    | UndoAttempt
    | LeaveAttempt
    | CorrectAttempt
    | RestartAttempt
    | BreakAttempt
    | PauseAttempt
)
"""An attempt of any kind, as a file may hold it."""
