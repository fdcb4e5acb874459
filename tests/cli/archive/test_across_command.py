"""``steadfoot archive across``: what stands in several sessions, as lines and as JSON."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home
from wizard.archive.across.crossing import CrossingKind
from wizard.cli.archive.across_command import KINDS


def test_a_session_that_was_removed_is_missed(run: Run, home: Path) -> None:
    """In words and as a table; of another kind there is nothing."""
    indexed_home(home)
    gone, after = sorted(path.name for path in (home / "sessions").iterdir())[3:5]
    shutil.rmtree(home / "sessions" / gone)
    said = run("archive", "across", "--processes", "1")
    assert said.code == 0 and f"gone: {after} names the seal" in said.out and gone in said.out
    assert "Met again: 1 named and not here, " in said.out and "proves nothing" in said.out
    (one,) = json.loads(run("archive", "across", "--kind", "gone", "--json", "--quick").out)
    assert (one["kind"], one["sessions"]) == ("gone", [after])
    assert run("archive", "across", "--kind", "photo", "--quick").out.startswith("Nothing was met again.")
    assert f"isn't here: {gone}" in run("session", "verify", after).out


def test_the_kinds_that_are_offered_are_those_that_there_are() -> None:
    assert tuple(kind.value for kind in CrossingKind) == KINDS
