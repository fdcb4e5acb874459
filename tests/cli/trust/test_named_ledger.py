"""A ledger that lies elsewhere, named by an option or the environment; heads that are signed, shown and checked."""

import json

import pytest

from tests.cli.conftest import work
from wizard.trust import head_signature


@pytest.mark.parametrize("how", ["option", "environment"])
def test_the_ledger_that_is_named_is_the_one_that_is_used(run, home, session, tmp_path, monkeypatch, how):
    """By the commands of the ledger, by verifying; that of the home is not begun. Last of all it is away."""
    shop = tmp_path / "shop"
    named = ("--ledger", str(shop)) if how == "option" else ()
    if how == "environment":
        monkeypatch.setenv("STEADFOOT_LEDGER", str(shop))
    said = run(*named, "ledger", "add", session)
    assert said.code == 0 and "1 line added" in said.out
    assert (shop / "ledger.txt").is_file() and not (home / "ledger.txt").exists()
    assert session in run(*named, "ledger", "show", "--list").out
    assert "is in the shop's ledger" in run(*named, "session", "verify", session).out
    assert run(*named, "ledger", "check", "--home", str(home)).code == 0
    (shop / "ledger.txt").unlink()
    assert "The ledger that was named is not there" in run(*named, "session", "verify", session).out
    assert str(shop) in run(*named, "ledger", "check").err


def test_a_ledger_of_several_homes_says_nothing_against_those_that_are_elsewhere(
    run, home, session, tmp_path
):
    """Their lines are counted as not checked; one that is here and was rewritten is wrong all the same."""
    shop = ("--ledger", str(tmp_path / "shop"))
    again = work(home)
    assert run(*shop, "ledger", "add", "--all").code == 0
    (home / "sessions" / session).rename(tmp_path / "elsewhere")
    said = run(*shop, "ledger", "check")
    assert said.code == 0 and "Not checked: 1 line of sessions that are not in this home." in said.out
    assert "those of its sessions that are here are as they were: 2 lines" in said.out
    path = tmp_path / "shop" / "ledger.txt"
    path.write_bytes(path.read_bytes()[:-5] + b"0000\n")
    said = run(*shop, "ledger", "check")
    assert said.code == 4 and f"session {again}" in said.out and "is another record now" in said.out


def test_what_waits_is_settled_by_the_command(run, home, session):
    """What is added by hand is not tried again."""
    assert run("ledger", "add", session).code == 0
    again = work(home)
    (home / "ledger-waiting.txt").write_text(f"{again}\n", encoding="utf-8")
    assert "it waits to be put in" in run("session", "verify", again).out
    assert run("ledger", "add", "--all").code == 0
    assert (home / "ledger-waiting.txt").read_text(encoding="utf-8") == ""
    assert "is in the shop's ledger" in run("session", "verify", again).out


def test_a_head_is_signed_shown_and_checked(run, home, session):
    """By the key of this home; once the ledger is written anew, its check ends with 4 though no head was typed."""
    assert run("key", "make").code == 0
    run("ledger", "add", session)
    work(home)
    assert "signed by key" in run("ledger", "show").out
    said = run("ledger", "check")
    assert said.code == 0 and "goes on from a head of 1 line, signed by key" in said.out
    path = home / "ledger.txt"
    path.write_bytes(path.read_bytes().replace(b" 2026-", b" 2025-"))
    said = run("ledger", "check")
    assert said.code == 4 and "A head of 1 line, signed by key" in said.out and "was changed" in said.out
    assert "signed by key" not in run("ledger", "show").out
    (home / head_signature.NAME).write_bytes(b"format = 9\n")
    assert run("ledger", "check").code == 4


def test_a_programs_table_of_the_head_says_who_signed_it(run, home, session):
    """A sentence a key; none where there was no key, nor where nothing was added since."""

    def signed():
        return json.loads(run("ledger", "show", "--json").out)["signed"]

    run("ledger", "add", session)
    assert signed() == []
    run("key", "make")
    run("ledger", "add", session)
    assert signed() == []
    run("ledger", "add", work(home))
    (says,) = signed()
    assert says.startswith("It is signed by key ")
