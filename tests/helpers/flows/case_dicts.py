"""Cases of the small test flow, written down as dicts as a trainer would write TOML."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from tests.helpers.jobs import good
from wizard.flow.model.case import Case
from wizard.flow.parsing.case_builder import build_case
from wizard.flowcheck.cases.case_player import play
from wizard.flowcheck.cases.case_result import Played

WORN = {"dampers.bounce": "swings", "dampers.pull": 22.0}
MENDED = {"dampers.pull": 62.0}


def case(attempts: list[dict[str, Any]] | None = None, **head: Any) -> Case:
    """A case of worn dampers, keys of ``[[case]]`` put in its place. Not all of its answers have to be asked for."""
    table = {
        "id": "trial",
        "says": "A trial",
        "answers": WORN,
        "after": MENDED,
        "confirm": ["dampers-worn"],
        "expect": {"outcome": "proved"},
        **head,
    }
    return replace(build_case({**table, "attempt": attempts or []}), own=frozenset())


def played(attempts: list[dict[str, Any]] | None = None, **head: Any) -> Played:
    """That case, played."""
    return play(good(), case(attempts, **head))


def attempt(at: str, kind: str, refused: str, **more: Any) -> list[dict[str, Any]]:
    """One attempt; ``more`` are the other keys of its kind."""
    return [{"at": at, "kind": kind, "refused": refused, **more}]
