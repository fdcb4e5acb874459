"""``steadfoot archive across``: what stands in several sessions, as lines and as JSON."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home
from wizard.archive.across.crossing import CrossingKind
from wizard.cli.archive.across_command import KINDS
from wizard.cli.flag_options import ABOUT, GRAVITIES
from wizard.review.flags.flag_sorts import FlagGravity, FlagKind


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


def test_the_last_session_of_a_computer_is_missed_too(run: Run, home: Path) -> None:
    """No other one names it yet; the home does, and where the session is there nothing is said."""
    indexed_home(home)
    last = sorted(path.name for path in (home / "sessions").iterdir())[-1]
    assert run("archive", "across", "--kind", "gone", "--quick").out.startswith("Nothing was met again.")
    shutil.rmtree(home / "sessions" / last)
    said = run("archive", "across", "--kind", "gone", "--quick").out
    assert said.startswith(f"gone: The session that was begun last on this computer isn't here: {last}.")


def test_the_kinds_that_are_offered_are_those_that_there_are() -> None:
    assert tuple(kind.value for kind in CrossingKind) == KINDS


def test_what_flags_can_be_asked_for_by_is_what_there_is() -> None:
    """The words of the options are those of the enums, which are imported late."""
    assert tuple(kind.value for kind in FlagKind) == ABOUT
    assert tuple(gravity.value for gravity in FlagGravity) == GRAVITIES


def test_flags_of_a_session_come_with_their_roll_up(run: Run, home: Path) -> None:
    """The gravest first; of one rule with many the first few; by kind and gravity; and so in the archive."""
    indexed_home(home)
    name = sorted(path.name for path in (home / "sessions").iterdir())[0]
    table = json.loads(run("session", "flags", name, "--json").out)
    assert table and all({"kind", "gravity"} <= set(one) for one in table)
    said = run("session", "flags", name).out
    first = min(table, key=lambda one: GRAVITIES.index(one["gravity"]))
    assert f"{first['gravity']}, {first['kind']}" in said.splitlines()[1]
    assert said.splitlines()[0].startswith(f"Session {name}: {len(table)} things to look at: ")
    for about in ABOUT:
        some = json.loads(run("session", "flags", name, "--about", about, "--json").out)
        assert some == [one for one in table if one["kind"] == about]
    there = json.loads(run("archive", "--about", first["kind"], "--gravity", "high", "--json", "--quick").out)
    assert {name} <= {row["session"] for row in there["sessions"]} or first["gravity"] != "high"
