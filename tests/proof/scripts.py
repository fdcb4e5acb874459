"""Cases of the small test flow, written down as dicts as a trainer would write TOML."""

from __future__ import annotations

from typing import Any

from tests.engine.jobs import good
from wizard.flow.case import Case, build_case
from wizard.proof.cases import Played
from wizard.proof.play import play

WORN = {"dampers.bounce": "swings", "dampers.pull": 22.0}
MENDED = {"dampers.pull": 62.0}


def case(attempts: list[dict[str, str]] | None = None, **head: Any) -> Case:
    """A case of worn dampers, with keys of ``[case]`` put in its place."""
    table = {
        "id": "trial",
        "says": "A trial",
        "answers": WORN,
        "after": MENDED,
        "confirm": ["dampers-worn"],
        "expect": {"outcome": "proved"},
        **head,
    }
    return build_case({"case": table, "attempt": attempts or []})


def played(attempts: list[dict[str, str]] | None = None, **head: Any) -> Played:
    """That case, played."""
    return play(good(), case(attempts, **head))


def attempt(at: str, do: str, refused: str) -> list[dict[str, str]]:
    """One attempt."""
    return [{"at": at, "do": do, "refused": refused}]
