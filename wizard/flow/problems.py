"""A problem in a file: where it stands, what is wrong and what to do, as one line."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from wizard.domain.vocabulary import Severity
from wizard.foreign.harmless import harmless


@dataclass(frozen=True, slots=True)
class Problem:
    """One problem. ``line`` and ``column`` count from 1, columns in characters; ``rule`` is a short word."""

    file: str
    line: int
    column: int
    text: str
    rule: str
    severity: Severity = Severity.ERROR

    @property
    def place(self) -> tuple[str, int, int, str, str]:
        """What problems of all kinds are put in order by: where they are, then what they say."""
        return self.file, self.line, self.column, self.text, self.rule

    def __str__(self) -> str:
        """Return ``file:line:column text``, a warning said to be one."""
        word = "warning: " if self.severity is Severity.WARNING else ""
        return f"{harmless(self.file)}:{self.line}:{self.column} {word}{self.text}"


def nearest(name: object, names: Iterable[str]) -> str:
    """Return ' Did you mean "x"?' for the name nearest to ``name``, or nothing where none is near."""
    from difflib import get_close_matches  # Late: wanted only for what is misspelt.

    near = get_close_matches(str(name), [str(n) for n in names], 1, 0.6)
    return f' Did you mean "{near[0]}"?' if near else ""


def tidy(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return the problems in the order of their places, each once, and each on one line whatever it quotes."""
    found = {replace(p, text=harmless(p.text)) for p in problems}
    return tuple(sorted(found, key=lambda p: p.place))


def errors(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Return those that are errors."""
    return tuple(p for p in problems if p.severity is Severity.ERROR)
