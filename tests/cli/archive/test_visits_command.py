"""``steadfoot archive visits``: the jobs at one machine, as lines and as JSON."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home


def test_topics_and_changes_are_written(run: Run, home: Path) -> None:
    """A line a job under each topic, then what changed; by the number or by one of the sessions."""
    indexed_home(home)
    said = run("archive", "visits", "x1", "--processes", "1")
    assert said.code == 0 and said.out.startswith("X1: 9 jobs\nBy:\n")
    assert said.out.count("The same fault again: Dampers worn.") == 8
    table = json.loads(run("archive", "visits", "X1", "--json", "--quick").out)
    assert len(table["sessions"]) == 9 and len(table["changes"]) == 8
    assert all(len(topic["cells"]) == 9 for topic in table["topics"])
    assert run("archive", "visits", table["sessions"][0], "--quick").out == said.out


def test_a_number_that_nobody_has_is_said(run: Run, home: Path) -> None:
    """In a line."""
    indexed_home(home)
    said = run("archive", "visits", "4471", "--quick")
    assert said.code == 2 and "No machine has a serial number with '4471' in it" in said.err
