"""Typed references between the parts of a flow. As text they stand only in files: each has ``parse`` and ``str``."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum, unique

_STOP = "stop:"
_END = "end"
_REPAIR = "repair:"
_SAYS = ": "
_LIT = ":"


@dataclass(frozen=True, slots=True, order=True)
class StepRef:
    """A step of an inspection."""

    inspection: str
    step: str

    @classmethod
    def parse(cls, text: str) -> StepRef:
        """Return the step that ``inspection.step`` names; ValueError if the text isn't of that form."""
        inspection, dot, step = text.partition(".")
        if not (dot and inspection and step) or "." in step:
            raise ValueError(f'"{text}" is not a step. Write inspection.step, as in feet.rock')
        return cls(inspection, step)

    def __str__(self) -> str:
        return f"{self.inspection}.{self.step}"


@dataclass(frozen=True, slots=True, order=True)
class Target:
    """What is measured again: an inspection from its beginning (``step`` is empty), or one of its steps, and what
    follows it where that is not well.
    """

    inspection: str
    step: str = ""

    @classmethod
    def parse(cls, text: str) -> Target:
        """Return the target of ``inspection`` or ``inspection.step``; ValueError if the text is neither."""
        if "." in text:
            ref = StepRef.parse(text)
            return cls(ref.inspection, ref.step)
        if not text:
            raise ValueError("an empty text is no inspection. Write inspection, or inspection.step")
        return cls(text)

    @property
    def ref(self) -> StepRef | None:
        """The step, where one is named."""
        return StepRef(self.inspection, self.step) if self.step else None

    def __str__(self) -> str:
        return f"{self.inspection}.{self.step}" if self.step else self.inspection


@dataclass(frozen=True, slots=True, order=True)
class AnswerRef:
    """An answer of a step: its id, or several as ``wizard.domain.chosen_answers`` writes them."""

    at: StepRef
    answer: str

    @classmethod
    def parse(cls, text: str) -> AnswerRef:
        """Return the answer that ``inspection.step: answer`` names; ValueError if the text isn't of that form."""
        step, colon, answer = text.partition(_SAYS)
        if not (colon and answer):
            raise ValueError(f'"{text}" is no answer. Write inspection.step: answer, as in feet.rock: no')
        return cls(StepRef.parse(step), answer)

    def __str__(self) -> str:
        return f"{self.at}{_SAYS}{self.answer}"


@dataclass(frozen=True, slots=True, order=True)
class RepairRef:
    """The fitting of a fault's remedy, by its usual way to the work or by an ``approach``."""

    fault: str
    approach: str = ""

    @classmethod
    def parse(cls, text: str) -> RepairRef:
        """Return the repair that ``repair:FAULT`` or ``repair:FAULT:APPROACH`` names; ValueError if the text isn't of
        that form.
        """
        fault, colon, approach = text.removeprefix(_REPAIR).partition(_LIT)
        if not text.startswith(_REPAIR) or not fault or (colon and not approach):
            raise ValueError(f'"{text}" is no repair. Write repair: and the id of a fault')
        return cls(fault, approach)

    def __str__(self) -> str:
        return f"{_REPAIR}{self.fault}{_LIT}{self.approach}" if self.approach else _REPAIR + self.fault


ActRef = StepRef | RepairRef
"""What somebody does at the machine that the model of its safety knows: a step, or a repair."""


@dataclass(frozen=True, slots=True, order=True)
class DrawingRef:
    """A drawing, and the region of it that is lit; empty where none is."""

    drawing: str
    region: str = ""

    @classmethod
    def parse(cls, text: str) -> DrawingRef:
        """Return the drawing of ``drawing`` or ``drawing:region``; ValueError if the text is neither."""
        drawing, colon, region = text.partition(_LIT)
        if not drawing or (colon and not region):
            raise ValueError(f'"{text}" is no drawing. Write its name, or its name, : and a region')
        return cls(drawing, region)

    def __str__(self) -> str:
        return f"{self.drawing}{_LIT}{self.region}" if self.region else self.drawing


@unique
class DestinationKind(StrEnum):
    """What a way leads to."""

    FOLLOWING = "following"
    STEP = "step"
    END = "end"
    STOP = "stop"


@dataclass(frozen=True, slots=True, order=True)
class Destination:
    """Where a way leads: a step of the same inspection, its end, or a stop; ``name`` is the id of the step or stop.

    ``following``, the next step in the file, stands only in what isn't part of an inspection yet.
    """

    kind: DestinationKind
    name: str = ""

    @classmethod
    def parse(cls, text: str) -> Destination:
        """Return the destination of ``end``, ``stop:ID`` or the id of a step; ValueError where the id is missing."""
        if text == _END:
            return END
        kind = DestinationKind.STOP if text.startswith(_STOP) else DestinationKind.STEP
        name = text.removeprefix(_STOP)
        if not name:
            raise ValueError(
                f'"{text}" leads nowhere. Write a step\'s id, end, or stop: and the id of a stop'
            )
        return cls(kind, name)

    @classmethod
    def to_step(cls, step: str) -> Destination:
        """Return the destination that is this step."""
        return cls(DestinationKind.STEP, step)

    @classmethod
    def to_stop(cls, stop: str) -> Destination:
        """Return the destination that is this stop."""
        return cls(DestinationKind.STOP, stop)

    @property
    def step(self) -> str:
        """The id of the step, or empty."""
        return self.name if self.kind is DestinationKind.STEP else ""

    @property
    def stop(self) -> str:
        """The id of the stop, or empty."""
        return self.name if self.kind is DestinationKind.STOP else ""

    def __str__(self) -> str:
        if self.kind is DestinationKind.STOP:
            return _STOP + self.name
        return self.name or self.kind.value


END = Destination(DestinationKind.END)
"""The inspection ends here."""

FOLLOWING = Destination(DestinationKind.FOLLOWING)
"""The step after this one in the file, or the end."""


REFERENCES = (StepRef, Target, AnswerRef, RepairRef, DrawingRef, Destination)
"""Every kind of typed reference."""
