"""``steadfoot archive``: rows, CSV and JSON of what is found; the index made anew; the list of sessions by it."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.helpers.learned_home import indexed_home, learned_home
from wizard.archive.archive_index import NAME
from wizard.archive.archive_query import ArchiveRow
from wizard.archive.session_facts import SignStanding
from wizard.cli.archive.archive_text import csv_of, record_words

ROW = ArchiveRow(
    "2026-03-02-a", "2026-03-02", "f", "closed", "proved", "repaired and proved", "It bangs.", "Ostara", "OS4",
    "1A",
    "front-loader", "R. Vale", "T-1", "Worn", 31.5, 90, SignStanding.UNSIGNED, "", "", True, "", 12,
    ("put right late",),
)  # fmt: skip


NO_LEDGER = "No ledger: closing seals were compared with none (--ledger, steadfoot ledger)."
REBUILT = f"9 sessions read, 9 verified and looked at.\n{NO_LEDGER}\n"


@pytest.fixture
def shop(home: Path) -> Path:
    """A home with nine proved jobs."""
    return indexed_home(home)


def test_rows_say_risk_and_why_and_how_they_stand(run: Run, shop: Path) -> None:
    """A row a session, as many as are asked for, and how many there are."""
    said = run("archive", "--most", "4", "bangs", "--processes", "1")
    lines = said.out.splitlines()
    assert said.code == 0 and lines[0].split() == [
        "risk", "session", "machine", "complaint", "fault", "stands", "min", "record", "flags", "why",
    ]  # fmt: skip
    assert len(lines) == 7 and lines[-2] == "4 of 9 sessions with words 'bangs'."
    assert lines[-1] == NO_LEDGER
    assert "repaired and proved" in lines[1] and "unsigned" in lines[1]


def test_json_and_csv_have_every_column(run: Run, shop: Path) -> None:
    """The same sessions in the same order."""
    table = json.loads(run("archive", "--json", "--all", "--processes", "1").out)
    rows = list(csv.DictReader(io.StringIO(run("archive", "--csv", "--processes", "1").out)))
    assert table["count"] == 9 == len(rows) and table["not-looked-at"] == 0
    assert [row["session"] for row in table["sessions"]] == [row["session"] for row in rows]
    assert rows[0].keys() == table["sessions"][0].keys() and rows[0]["serial"] == "X1"
    assert run("archive", "--json", "--csv").code == 2


def test_quick_says_what_is_not_known(run: Run, home: Path) -> None:
    """Without the closer look no risk is claimed."""
    learned_home(home)
    said = run("archive", "--quick")
    assert "9 of all sessions were not verified" in said.out and "not looked at, unsigned" in said.out
    assert said.out.splitlines()[1].startswith("?")


def test_filters_are_asked_and_named(run: Run, shop: Path) -> None:
    """By the command line; a word that is none of an option's is said."""
    assert (
        "0 of 0 sessions with technician 'Nobody'." in run("archive", "--quick", "--technician", "Nobody").out
    )
    assert "9 of 9" in run("archive", "--quick", "--outcome", "proved", "--since", "2026").out
    assert run("archive", "--outcome", "good").code == 2 and run("archive", "--since", "soon").code == 2


def test_rebuild_makes_it_anew(run: Run, shop: Path) -> None:
    """From the journals alone."""
    assert run("archive", "rebuild", "--processes", "1").out == REBUILT
    (shop / NAME).write_bytes(b"no index")
    assert run("archive", "rebuild", "--processes", "1").out == REBUILT


def test_the_list_is_read_once(run: Run, shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The second time no journal is read; without its index it is the same."""
    from wizard.archive import one_session

    first = run("session", "list").out
    with monkeypatch.context() as broken:
        broken.setattr(one_session, "facts_of", lambda *_: pytest.fail("a journal was read"))
        assert run("session", "list").out == first
    (shop / NAME).unlink()
    assert run("session", "list").out == first and len(first.splitlines()) == 10


@pytest.mark.parametrize("text", ["=1+1", "+49", "-2", "@x", "\t=1", "a\x1b[2Jb"])
def test_no_cell_is_a_formula_or_an_escape(text: str) -> None:
    """A spreadsheet, or a terminal, obeys nothing that a customer said."""
    from dataclasses import replace

    _heads, cells = csv.reader(io.StringIO(csv_of([replace(ROW, complaint=text)])))
    assert not cells[6].startswith(("=", "+", "-", "@", "\t")) and "\x1b" not in cells[6]


def test_the_record_is_never_said_to_be_better_than_it_is() -> None:
    """What is not verified, not looked at, or changed since, stands before who signed."""
    from dataclasses import replace

    assert record_words(ROW) == "unsigned"
    assert record_words(replace(ROW, looked=False)) == "not looked at, unsigned"
    signed = replace(ROW, standing=SignStanding.SIGNED, signed_by="C. Marsh")
    assert record_words(signed) == "signed C. Marsh"
    assert record_words(replace(signed, wrong="A block was altered.")) == "NOT VERIFIED, signed C. Marsh"
    assert record_words(replace(signed, trouble="torn")) == "UNREADABLE, signed C. Marsh"
    assert record_words(replace(signed, standing=SignStanding.CHANGED)) == "CHANGED C. Marsh"


def test_machines_that_came_back_stand_beside_the_job_before(run: Run, shop: Path) -> None:
    """All nine jobs of the shop are at one machine on one day: eight came back."""
    said = run("archive", "--quick", "--back", "0")
    assert said.code == 0 and "8 jobs of 9 came back within 0 days." in said.out
    assert said.out.splitlines()[0].split()[:2] == ["days", "machine"] and "2026-03-02-b" in said.out
    assert len(json.loads(run("archive", "--quick", "--back", "0", "--json").out)) == 8
    assert "0 jobs of 0" in run("archive", "--quick", "--back", "9", "--since", "2027").out
    assert run("archive", "--back", "3", "--csv").code == 2
