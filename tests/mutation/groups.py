"""The groups of modules with their tests, and the mutants that change nothing, each with its reason."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from pathlib import Path

from tests.mutation.sites import Mutant, mutants

HERE = Path(__file__).parent


@dataclass(frozen=True)
class Group:
    """A group: its name, what it is about, and for each module the files of its tests."""

    name: str
    says: str
    modules: dict[str, tuple[str, ...]]

    def mutants(self) -> list[Mutant]:
        """All mutants of its modules."""
        return [m for path in self.modules for m in mutants(path, Path(path).read_text(encoding="utf-8"))]


def groups() -> dict[str, Group]:
    """All groups by name."""
    read = tomllib.loads((HERE / "groups.toml").read_text(encoding="utf-8"))
    return {
        name: Group(name, table.pop("says"), {path: tuple(files) for path, files in table.items()})
        for name, table in read.items()
    }


def equivalents() -> dict[str, str]:
    """The names of the mutants that change nothing that anybody could see, each with why."""
    read = tomllib.loads((HERE / "equivalent.toml").read_text(encoding="utf-8"))
    return {name: table["because"] for table in read.get("same", []) for name in table["mutants"]}
