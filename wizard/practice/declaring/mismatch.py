"""Something in a practice machine's file that doesn't agree with its flow."""

from __future__ import annotations

from dataclasses import dataclass

from wizard.flow.form.recovery import Path


@dataclass(frozen=True, slots=True)
class Mismatch:
    """What is wrong, in which file, and the path of the value there."""

    file: str
    path: Path
    text: str
