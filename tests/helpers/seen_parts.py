"""What a truthful technician remembers of the machine: what they took off, wedged, tied or put on again."""

from __future__ import annotations

from collections.abc import Sequence

from wizard.flow.model import Step


class SeenParts:
    """Of each condition what the answers given last left so, whatever the program believes since."""

    def __init__(self) -> None:
        self._last: dict[str, frozenset[str]] = {}

    def note(self, step: Step, chosen: Sequence[str]) -> None:
        """An answer was given, or these were ticked."""
        for answer in step.answers:
            if answer.id in chosen:
                self._last.update(answer.so)
            elif step.many:
                self._last.update(answer.unticked_so)

    def repaired(self) -> None:
        """After a repair all parts are on again."""
        self._last.pop("parts", None)

    def ticks(self, step: Step) -> list[str]:
        """The usual answers of several that may be ticked, without those that are not so."""
        return [a.id for a in step.answers if a.usual and all(self._fits(c, v) for c, v in a.so.items())]

    def _fits(self, condition: str, values: frozenset[str]) -> bool:
        return bool(self._last.get(condition, values) & values)
