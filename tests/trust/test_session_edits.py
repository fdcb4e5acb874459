"""The page of edits says what is so: some rows are made again by day, all of them by night."""

import re

import pytest

from tests.trust.edit_outcomes import outcome_of
from tests.trust.edit_table import PAGE, page, row
from tests.trust.edited_homes import SESSION, home_to_edit
from tests.trust.session_edits import EDITS
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting.ledger_sessions import LedgerStanding, departures
from wizard.trust.seal_ledger import load_ledger
from wizard.trust.signature_check import SignatureStanding

TEXT = PAGE.read_text(encoding="utf-8")
BY_DAY = EDITS[::7]


def named(edit):
    return f"{edit.group}: {edit.says}"


def test_nothing_finds_a_home_that_nobody_edited(tmp_path):
    """Whole, signed by a known key, of an approved flow, in the ledger, with its printed seal: nothing is unchecked."""
    home = home_to_edit(tmp_path / "home")
    found = verified(home.store, SESSION, home.printed)
    assert found.ok and found.trust.seal.standing is SignatureStanding.KNOWN
    assert found.trust.ledger is LedgerStanding.THERE and found.trust.unchecked == ()
    ledger = load_ledger(home.store.root)
    assert ledger.departs(home.head) == "" and list(departures(home.store.home, ledger)) == []


def test_the_page_has_every_edit_once_and_they_are_many():
    rows = re.findall(
        r"^\| (?!edit of)(?!---)[^|]+ \| [^|]+ \|(?: (?:found|said|-) \|){5}$", TEXT, re.MULTILINE
    )
    assert len(EDITS) >= 50 and len(rows) == len(EDITS) == len({named(edit) for edit in EDITS})
    readme = (PAGE.parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"[{len(EDITS)} edits](tests/trust/FIGURES.md)" in readme
    assert all(f"| {edit.group} | {edit.says} |" in TEXT for edit in EDITS)


@pytest.mark.parametrize("edit", BY_DAY, ids=named)
def test_a_row_is_what_is_found_today(tmp_path, edit):
    assert row(edit, outcome_of(edit, tmp_path / "home")) in TEXT


@pytest.mark.nightly
def test_the_whole_page_is_what_is_found_today(tmp_path):
    found = [outcome_of(edit, tmp_path / str(number)) for number, edit in enumerate(EDITS)]
    assert page(EDITS, found) == TEXT


def test_no_edit_of_the_journal_passes_ledger_and_printed_seal():
    """Every row in which neither finds it leaves the journal as it was written."""
    blind = [line for line in TEXT.splitlines() if line.endswith("| - |") and line.count("|") == 8]
    passed = [line.split("|")[1].strip() for line in blind if line.split("|")[4].strip() == "-"]
    assert passed and set(passed) <= {"files", "review", "nothing"}
