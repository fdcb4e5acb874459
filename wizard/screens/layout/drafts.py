"""What was typed for a step that could not take it, kept until it can."""

from __future__ import annotations

from wizard.engine.state.job_state import State


class Drafts:
    """Texts by run and step. One that lies in the journal is known by the state; each is given back once."""

    def __init__(self) -> None:
        self._kept: dict[tuple[int, str], str] = {}
        self._used: set[tuple[int, str, str]] = set()

    def keep(self, run: int, step: str, text: str) -> None:
        """Keep what was typed for a step that could not take it."""
        if text.strip():
            self._kept[run, step] = text

    def settle(self, run: int, step: str) -> None:
        """Let go of it: the step took something."""
        self._kept.pop((run, step), None)

    def find(self, state: State, run: int, step: str) -> str:
        """What was typed for this step before something was asked again, or empty."""
        text = self._kept.get((run, step)) or state.drafts.get(f"{run}/{step}", "")
        return "" if (run, step, text) in self._used else text

    def use(self, state: State, run: int, step: str) -> str:
        """That text, once: from then on it is in the field."""
        text = self.find(state, run, step)
        self._used.add((run, step, text))
        self._kept.pop((run, step), None)
        return text
