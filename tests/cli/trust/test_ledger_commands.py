"""The ledger on the command line: begun, shown, checked against a kept head, proved; imports add to it."""

import json
import shutil

from tests.cli.conftest import work
from tests.helpers.stored_sessions import home_at
from wizard.sessions.transfer import export


def head_of(run):
    table = json.loads(run("ledger", "show", "--json").out)
    return f"{table['size']} {table['root']}"


def test_a_ledger_is_begun_shown_and_checked(run, session):
    assert "There is no ledger here" in run("ledger", "show").err
    said = run("ledger", "add", session)
    assert said.code == 0 and "1 line added" in said.out
    assert "0 lines added" in run("ledger", "add", "--all").out
    said = run("ledger", "show", "--list")
    assert session in said.out and "Head of 1 line:" in said.out
    assert run("ledger", "check", "--head", head_of(run)).code == 0
    assert "No kept head was compared" in run("ledger", "check").out
    assert "is in the shop's ledger" in run("session", "verify", session).out


def test_a_session_removed_or_a_ledger_written_anew_ends_with_four(run, home, session):
    run("ledger", "add", "--all")
    kept = head_of(run)
    shutil.rmtree(home / "sessions" / session)
    said = run("ledger", "check")
    assert said.code == 4 and "is not in this home" in said.out
    (home / "ledger.txt").unlink()
    home_at(home)
    run("ledger", "add", "--all")
    said = run("ledger", "check", "--head", kept)
    assert said.code == 4 and "are not those of the kept head" in said.out


def test_a_proof_is_checked_without_the_ledger(run, home, session, tmp_path):
    """Against the head; another head is said; a changed file is wrong."""
    run("ledger", "add", "--all")
    kept, proof = head_of(run), tmp_path / "seal.toml"
    assert run("ledger", "prove", session, "--out", str(proof)).code == 0
    assert run("ledger", "prove", session, "--out", str(proof)).code == 2
    (home / "ledger.txt").unlink()
    said = run("ledger", "check", "--proof", str(proof), "--head", kept)
    assert said.code == 0 and session in said.out and "Line 1 of 1" in said.out
    assert run("ledger", "check", "--proof", str(proof), "--head", f"1 {'0' * 64}").code == 4
    text = proof.read_text(encoding="utf-8")
    proof.write_text(text.replace(session, session[:-1] + "q"), encoding="utf-8")
    assert run("ledger", "check", "--proof", str(proof)).code == 4


def test_a_ledger_that_went_on_is_proved_to_begin_with_the_kept_head(run, home, session, tmp_path):
    """A line more later: the proof leads from the kept head to the present one."""
    run("ledger", "add", "--all")
    kept, proof = head_of(run), tmp_path / "since.toml"
    work(home)
    assert "1 line added" in run("ledger", "add", "--all").out
    assert run("ledger", "check", "--head", kept).code == 0
    assert run("ledger", "prove", "--since", "1", "--out", str(proof)).code == 0
    said = run("ledger", "check", "--proof", str(proof), "--head", kept)
    assert said.code == 0 and "The ledger of 1 line is the beginning of that of 2" in said.out


def test_what_is_asked_for_must_be_there(run, session):
    assert run("ledger", "add").code == 2 and run("ledger", "add", session, "--all").code == 2
    run("ledger", "add", session)
    assert run("ledger", "prove").code == 2 and run("ledger", "prove", "2020-01-01-a").code == 2
    assert run("ledger", "show", "--at", "5").code == 2 and run("ledger", "check", "--head", "x").code == 2
    assert run("ledger", "prove", "--since", "5").code == 2


def test_a_session_that_does_not_verify_is_not_added(run, home, session):
    journal = home / "sessions" / session / "journal.toml"
    journal.write_bytes(journal.read_bytes() + b"[[event]]\n")
    said = run("ledger", "add", session)
    assert said.code == 4 and "does not verify" in said.out and "0 lines added" in said.out


def test_an_import_adds_to_a_ledger_that_is_there(run, home, tmp_path):
    """Where none is kept, none is begun."""
    parcel = export(home_at(tmp_path / "van"), "2026-03-02-a", tmp_path / "sent.zip")
    run("session", "import", str(parcel))
    assert not (home / "ledger.txt").exists()
    run("ledger", "add", "--all")
    shutil.rmtree(home / "sessions")
    (home / "ledger.txt").write_bytes(b"steadfoot ledger 1\n")
    said = run("session", "import", str(parcel))
    assert "1 line added to the ledger. Head: 1 " in said.out
    assert run("ledger", "check").code == 0
