"""A job that is closed goes into the shop's ledger; one that is away or can't be written holds nothing up and is caught
up with; heads are signed by who adds.
"""

import shutil
from dataclasses import replace

import pytest

from tests.helpers.flows.case_dicts import case
from tests.helpers.stored_sessions import SESSION, home_at
from wizard.cli.verification_text import lines_of
from wizard.domain.vocabulary import NextKind
from wizard.engine.driver import Driver
from wizard.engine.messages import commands as c
from wizard.engine.queries import next_queries
from wizard.errors import JournalError
from wizard.flowcheck.cases.case_script import Script
from wizard.sessions.ledger_keeping import LedgerTaken, take_up
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting import ledger_folder
from wizard.sessions.trusting.ledger_sessions import LedgerStanding, seals_of
from wizard.trust import ed25519, head_signature
from wizard.trust.head_signature import HeadSignature, dump_heads, heads_found, load_heads, parse_heads
from wizard.trust.key_file import create
from wizard.trust.seal_ledger import HEADER, NAME, LedgerEntry, append, load_ledger
from wizard.trust.trusted_keys import Trusted

AT = "2026-03-04T08:00:00Z"
WAITING = ledger_folder.NAME


def begun(folder):
    """An empty ledger in a folder, as 'ledger add' makes one."""
    append(folder, lambda _ledger: ())
    return folder


def close_again(store):
    """Somebody comes back to the closed job and closes it once more."""
    with store.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
        driver = Driver(opened.session, Script(case()), store.clock.move)
        while driver.advance():
            if next_queries.next_up(opened.session.view).kind is NextKind.CLOSE:
                opened.session.do(c.Close())
                return opened.unlisted
    raise AssertionError("it was never closed")


@pytest.fixture
def store(tmp_path):
    """A home with a closed job, and no ledger."""
    return home_at(tmp_path / "home")


@pytest.fixture
def shop(tmp_path):
    """A folder of the shop with a ledger."""
    return begun(tmp_path / "shop")


def lines(folder):
    return [(entry.session, entry.chain) for entry in load_ledger(folder).entries]


def test_where_no_ledger_is_named_nothing_is_done(store):
    assert close_again(store) == "" and take_up(store) == LedgerTaken()
    assert not [path.name for path in store.root.iterdir() if "ledger" in path.name]
    assert any("There is no ledger" in line for line in lines_of(verified(store, SESSION)))


@pytest.mark.parametrize("named", [False, True])
def test_a_closed_job_goes_into_the_ledger(store, tmp_path, named):
    """That of the home where one was begun, that of the folder where one is named; the other is not touched."""
    folder = begun(tmp_path / "shop" if named else store.root)
    store = replace(store, ledger=folder if named else None)
    assert close_again(store) == ""
    assert lines(folder) == [] and store.ledger_folder.waiting() == (SESSION,)
    assert any("it waits to be put in" in line for line in lines_of(verified(store, SESSION)))
    done = take_up(store)
    assert done.says == f"The seal of {SESSION} is in the shop's ledger: line 1." and done.troubles == ()
    assert lines(folder) == [(SESSION, seals_of(store.home, SESSION).seals[-1][1])]
    assert verified(store, SESSION).trust.ledger is LedgerStanding.THERE
    assert store.ledger_folder.waiting() == () and take_up(store) == LedgerTaken()
    assert named is not (store.root / NAME).exists()


def test_a_ledger_that_is_away_holds_nothing_up_and_is_caught_up_with(store, shop, tmp_path):
    """Closed while the share is away: said, nothing made in its place, put in once it is there again."""
    store, away = replace(store, ledger=shop), tmp_path / "away"
    shop.rename(away)
    assert close_again(store) == "" and store.load(SESSION).state.outcome is not None
    done = take_up(store)
    assert "A closed job is not in the shop's ledger yet" in done.says and "is not there" in done.says
    assert not shop.exists() and store.ledger_folder.waiting() == (SESSION,)
    found = verified(store, SESSION)
    assert found.trust.ledger is LedgerStanding.AWAY
    assert any("The ledger that was named is not there" in line for line in lines_of(found))
    away.rename(shop)
    assert len(take_up(store).added) == 1 and len(lines(shop)) == 1


@pytest.mark.parametrize("how", ["lock", "file", "altered"])
def test_a_ledger_that_can_not_be_used_is_said_and_asked_again(store, shop, how):
    """It can't be locked, it can't be read, it was altered: the close stands, and the seal goes on waiting."""
    store, whole = replace(store, ledger=shop), (shop / NAME).read_bytes()
    if how == "altered":
        (shop / NAME).write_bytes(b"other\n")
    else:
        path = shop / ("ledger.lock" if how == "lock" else NAME)
        path.unlink(missing_ok=True)
        path.mkdir()
    assert close_again(store) == ""
    done = take_up(store)
    assert not done.added and str(shop) in done.says and store.ledger_folder.waiting() == (SESSION,)
    if how != "altered":
        path.rmdir()
    (shop / NAME).write_bytes(whole)
    assert len(take_up(store).added) == 1


def test_what_does_not_verify_is_not_put_in(store, shop):
    """Altered since it was closed: it is said, and no line vouches for it."""
    store = replace(store, ledger=shop)
    close_again(store)
    journal = store.home.session_folder(SESSION) / "journal.toml"
    journal.write_bytes(journal.read_bytes().replace(b"The floor is wet.", b"The floor was wet", 1))
    assert "does not verify" in take_up(store).says and lines(shop) == []
    assert store.ledger_folder.waiting() == (SESSION,)


def test_a_session_that_is_gone_is_said_once(store, shop):
    store = replace(store, ledger=shop)
    close_again(store)
    shutil.rmtree(store.home.session_folder(SESSION))
    assert "is gone" in take_up(store).says and take_up(store) == LedgerTaken()


@pytest.mark.parametrize(
    "data", [b"", b"\xff\xfe", b"../../etc\n", b"2026-03-02-z\n\n2026-03-02-z", b"x" * 2_000_000]
)
def test_a_list_of_what_waits_that_is_none_is_no_reason_to_stop(store, shop, data):
    """Lines that name no session are passed over; the next close writes it anew."""
    store = replace(store, ledger=shop)
    (store.root / WAITING).write_bytes(data)
    assert set(store.ledger_folder.waiting()) <= {"2026-03-02-z"}
    assert close_again(store) == "" and SESSION in store.ledger_folder.waiting()
    take_up(store)
    assert len(lines(shop)) == 1


def test_a_list_that_can_not_be_written_is_said_and_the_job_is_closed(store, shop):
    """What a person does then is said with it."""
    store = replace(store, ledger=shop)
    (store.root / WAITING).mkdir()
    says = close_again(store)
    assert WAITING in says and f"steadfoot ledger add {SESSION}" in says
    assert store.load(SESSION).seal


# ---- heads


def added(store, number):
    """A line more, by somebody with the key of this home."""
    append(
        store.root, lambda _ledger: (LedgerEntry(AT, f"2026-03-02-{chr(97 + number)}", 3, f"{number:064x}"),)
    )
    return head_signature.sign_head(store.root, store.root, load_ledger(store.root), AT)


def heads(store, trusted=None):
    return list(heads_found(load_ledger(store.root), load_heads(store.root), trusted or Trusted()))


def test_the_head_is_signed_by_who_adds_and_the_newest_of_each_key_is_kept(store):
    """A message of its own form, by Ed25519; without a key there is none, and nothing is said."""
    assert added(store, 0) == "" and load_heads(store.root) == ()
    key = create(store.root)
    assert added(store, 1) == "" and added(store, 2) == ""
    (one,) = load_heads(store.root)
    assert one.head == load_ledger(store.root).head and one.key == key.public and one.at == AT
    assert ed25519.check(one.key, one.signature, one.message) is ed25519.KeyCheck.HOLDS
    (found,) = heads(store, Trusted({key.public: "Van 3"}))
    assert not found.wrong and "3 lines" in found.says and "known to this shop as Van 3" in found.says
    append(store.root, lambda _ledger: (LedgerEntry(AT, "2026-03-02-z", 3, "f" * 64),))
    assert not heads(store)[0].wrong


def test_a_ledger_written_anew_departs_from_its_signed_head(store):
    """Though its author may write the file: the head was signed before."""
    create(store.root)
    for number in range(3):
        added(store, number)
    path = store.root / NAME
    rows = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(rows[:2] + rows[3:]))
    (found,) = heads(store)
    assert found.wrong and "1 are gone" in found.says
    path.write_bytes(b"".join(rows).replace(b"0" * 40, b"1" * 40, 1))
    assert heads(store)[0].wrong


def test_a_ledger_written_anew_is_not_signed_over(store):
    """The next line that is added would else hide it behind a new head of the same key."""
    create(store.root)
    for number in range(3):
        added(store, number)
    before = load_heads(store.root)
    path = store.root / NAME
    rows = path.read_bytes().splitlines(keepends=True)
    path.write_bytes(b"".join(rows[:2] + rows[3:]))
    said = [added(store, number) for number in (5, 6)]
    assert all("written anew" in words and "This key signed that head" in words for words in said)
    assert load_heads(store.root) == before and heads(store)[0].wrong


def test_one_that_can_not_be_read_keeps_no_other_out(store, shop):
    """What is wrong with it is said, and it goes on waiting."""
    store = replace(store, ledger=shop)
    close_again(store)
    bad = store.home.sessions / "2026-03-02-z"
    (bad / "journal.toml").mkdir(parents=True)
    store.ledger_folder.wait(bad.name)
    done = take_up(store)
    assert len(done.added) == 1 and bad.name in done.says and "can't be read" in done.says
    assert store.ledger_folder.waiting() == (bad.name,)


def test_every_thing_of_a_signed_head_counts(store):
    create(store.root)
    added(store, 1)
    (one,) = load_heads(store.root)
    root = load_ledger(store.root).head.root
    for other in (
        replace(one, size=0), replace(one, root="0" * 64), replace(one, at="2026-03-04T08:00:01Z"),
        replace(one, key="0" * 64), replace(one, signature="0" * 128), replace(one, key="", signature=""),
    ):  # fmt: skip
        (store.root / head_signature.NAME).write_bytes(dump_heads([other]))
        assert heads(store)[0].wrong, other
    assert root == one.root


@pytest.mark.parametrize(
    "data",
    [
        b"", b"\xff", b"format = 2\n", b"format = 1\nhead = 3\n", b"format = 1\n[[head]]\nsize = 'x'\n",
        dump_heads([HeadSignature(-1, "0" * 64, AT)]), dump_heads([HeadSignature(1, "zz", AT)]),
        dump_heads([HeadSignature(1, "0" * 64, "today")]),
    ],
)  # fmt: skip
def test_a_file_that_holds_no_heads_is_said(data):
    with pytest.raises(JournalError, match=head_signature.NAME):
        parse_heads(data)


def test_a_key_that_can_not_be_used_keeps_no_line_out(store, shop):
    """The line is there; that its head is not signed is said."""
    store = replace(store, ledger=shop)
    close_again(store)
    (store.root / "signing-key.pem").write_bytes(b"torn")
    (store.root / "signing-key.pem").chmod(0o600)
    done = take_up(store)
    assert len(done.added) == 1 and "head is not signed" in done.says and lines(shop)
    assert (shop / NAME).read_bytes().startswith(HEADER)
