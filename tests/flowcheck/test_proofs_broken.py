"""Broken flows, a file each: what no rule of the form can see the proofs find, with place, words and a way there.

Each file says how it differs from the small good flow and its library, and what must be said of it. What the rules of
the form find is in ``tests/flow/broken``.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
import tomli

from tests.helpers.flows.flow_folders import Broken, good
from tests.helpers.flows.witness_replay import follow
from wizard.flow.loading.static_check import examine
from wizard.flow.parsing.flow_files import decode
from wizard.flowcheck.checks import Counterexample, Proof, prove

HERE = Path(__file__).parent / "broken"


@dataclass(frozen=True)
class Expected:
    """A broken flow, and what is expected of it."""

    broken: Broken
    table: dict[str, Any]

    def files(self) -> dict[str, bytes]:
        return self.broken.files()


def expected() -> list[Expected]:
    tables = [(p.stem, tomli.loads(p.read_text(encoding="utf-8"))) for p in sorted(HERE.glob("*.toml"))]
    return [Expected(Broken(name, table), table) for name, table in tables]


EXPECTED = expected()


def proof(files: dict[str, bytes]) -> Proof:
    """The proofs of these files, whatever their form is like."""
    found = examine(files)
    assert found.flow is not None
    return prove(found.flow, index=found.index)


def found(wanted: Expected) -> Counterexample:
    """The first problem of the rule that is expected."""
    problems = [p for p in proof(wanted.files()).problems if p.rule == wanted.table["rule"]]
    assert problems, f"nothing is said by {wanted.table['rule']}"
    return next((p for p in problems if wanted.table["says"] in p.text), problems[0])


def test_the_good_flow_is_proved() -> None:
    """The flow that all the broken ones differ from: nothing is found, and that not for want of looking."""
    told = proof(good())
    assert [str(p) for p in told.problems] == []
    assert told.counts.needs > 25 and told.counts.acts > 500 and told.counts.beliefs > 10**18


@pytest.mark.parametrize("wanted", EXPECTED, ids=lambda e: e.broken.name)
def test_each_is_found_with_place_and_words(wanted: Expected) -> None:
    """The rule, what it says, and the text at the place that it names."""
    problem = found(wanted)
    assert wanted.table["says"] in problem.text
    assert problem.severity == "error" and problem.file == wanted.table["file"]
    text = decode(wanted.files()[problem.file]).splitlines()[problem.line - 1]
    assert text.strip() == wanted.table["line"]


@pytest.mark.parametrize("wanted", [e for e in EXPECTED if "ends" in e.table], ids=lambda e: e.broken.name)
def test_the_way_there_is_true(wanted: Expected) -> None:
    """The engine goes along the witness, and refuses at its end what can't be made ready."""
    problem = found(wanted)
    flow = examine(wanted.files()).flow
    assert flow is not None
    end = follow(flow, problem.witness)
    assert end.refused == wanted.table["ends"], (problem.witness, end.at, end.says)
