"""The archive holds sessions against the shop's ledger where one is named, and against the home's; it says which."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from tests.helpers.learned_home import learned_home
from tests.helpers.stored_sessions import store_at
from wizard.archive import apart
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_query import ArchiveFilter
from wizard.archive.bringing_up import bring_up
from wizard.cli.main import main
from wizard.sessions.trusting.ledger_compared import LedgerOf, ledgers_compared
from wizard.sessions.trusting.ledger_sessions import missing, seals_of
from wizard.trust.head_signature import NAME as HEADS
from wizard.trust.seal_ledger import NAME, LedgerEntry, append

AT = "2026-03-05T08:00:00Z"


@pytest.fixture
def store(tmp_path):
    """Nine proved jobs; the shop's ledger lies in another folder, and this computer knows of it."""
    made = store_at(learned_home(tmp_path / "home"))
    share = tmp_path / "share"
    for name in made.home.list_ids():
        append(share, lambda ledger, name=name: missing(ledger, seals_of(made.home, name), AT))
    return replace(made, ledger=share)


def wrong(store, **how) -> dict[str, str]:
    """What the archive finds wrong, by session, after it was brought up."""
    with ArchiveIndex.open(store.root) as index:
        bring_up(index, store, processes=1, **how)
        return {row.session: row.wrong for row in index.find(ArchiveFilter()).rows if row.wrong}


def rewritten(session: str) -> LedgerEntry:
    """A line of a ledger with a closing seal that is in no event of the session here."""
    return LedgerEntry(AT, session, 9, "ab" * 32)


def test_a_session_that_was_rewritten_shows_by_the_shops_ledger(store):
    """The home has no ledger of its own; only the one that was named has the other seal. Sessions were looked at before
    the line came, so that the line must have that one looked at again, and no other.
    """
    first, second, *_rest = store.home.list_ids()
    assert wrong(store) == {}
    append(store.ledger, lambda _ledger: (rewritten(first),))
    with ArchiveIndex.open(store.root) as index:
        assert bring_up(index, store, processes=1).appraised == 1
    found = wrong(store)
    assert list(found) == [first] and "ledger has another closing seal" in found[first]
    assert wrong(replace(store, ledger=None)) == {}, "compared with none, it says nothing of one"
    assert list(wrong(store)) == [first]
    assert second not in found


def test_the_homes_own_ledger_is_held_against_as_well(store):
    """Both are there; the home's alone has the other seal."""
    first = store.home.list_ids()[0]
    append(store.root, lambda _ledger: (rewritten(first),))
    assert "The ledger of this home has another closing seal" in wrong(store)[first]
    assert [one.of for one in ledgers_compared(store.root, store.ledger).there] == [
        LedgerOf.SHOP,
        LedgerOf.HOME,
    ]


def test_the_other_process_has_the_ledger_too(store, monkeypatch):
    """What a screen brings up in another process is held against the same ledger."""
    monkeypatch.setattr(apart, "FEW", 2)
    first = store.home.list_ids()[0]
    append(store.ledger, lambda _ledger: (rewritten(first),))
    with ArchiveIndex.open(store.root) as index:
        apart.bring_up_apart(index, store, lambda *_: True)
        assert [row.session for row in index.find(ArchiveFilter()).rows if row.wrong] == [first]


def test_it_says_which_it_was_compared_with(store, capsys, tmp_path):
    """The shop's by its place and lines, the home's own, none, or one that was named and is not there."""
    home, share = ["--home", str(store.root)], str(store.ledger)
    archive = ["archive", "find", "--list", "--processes", "1"]
    assert main([*home, "--ledger", share, *archive]) == 0
    said = " ".join(capsys.readouterr().out.split())
    assert f"Closing seals were compared with the shop's ledger ({share}): 9 lines, no signed head." in said
    assert main([*home, *archive]) == 0
    assert "No ledger: closing seals were compared with none" in " ".join(capsys.readouterr().out.split())
    away = str(tmp_path / "away")
    assert main([*home, "--ledger", away, *archive, "--json"]) == 0
    (one,) = json.loads(capsys.readouterr().out)["ledgers"]
    assert one["of"] == "shop" and one["lines"] is None and "is not there" in one["troubles"][0]


def test_a_signed_head_that_the_ledger_departs_from_is_said(store):
    """A head by a key, of a ledger that was written anew since; and a file of heads that is none."""
    pytest.importorskip("cryptography")
    from wizard.trust.head_signature import sign_head
    from wizard.trust.key_file import create
    from wizard.trust.seal_ledger import load_ledger

    create(store.root)
    ledger = load_ledger(store.ledger)
    assert ledger is not None and sign_head(store.root, store.ledger, ledger, AT) == ""
    (one,) = ledgers_compared(store.root, store.ledger).ledgers
    assert (one.lines, one.signed, one.troubles) == (9, 1, ())
    path = store.ledger / NAME
    header, *lines = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(header + b"".join(reversed(lines)))
    (one,) = ledgers_compared(store.root, store.ledger).ledgers
    assert one.signed == 0 and "are not those of the kept head" in one.troubles[0]
    (store.ledger / HEADS).write_text("head = 3\n", encoding="utf-8")
    (one,) = ledgers_compared(store.root, store.ledger).ledgers
    assert one.lines == 9 and one.troubles
