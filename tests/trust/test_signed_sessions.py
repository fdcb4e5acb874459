"""A job signed as it is closed, a review signed as it is written, and what verifying says of either."""

import shutil
import subprocess
import sys
from dataclasses import replace

import pytest

from tests.helpers.stored_sessions import SESSION, home_at, import_, store_at
from wizard.cli.verification_text import lines_of, troubles
from wizard.errors import JournalError
from wizard.journal.journal_reader import read
from wizard.sessions import sign_off
from wizard.sessions.review_desk import ReviewDesk
from wizard.sessions.reviews.review_rows import Ruling
from wizard.sessions.session_placing import ImportOutcome
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export
from wizard.sessions.trusting.ledger_sessions import LedgerStanding, seals_of
from wizard.sessions.trusting.seal_signing import SealSigner
from wizard.trust import ed25519, seal_signature
from wizard.trust.key_file import create
from wizard.trust.seal_signature import SealSignature, load_signatures
from wizard.trust.signature_check import SignatureStanding
from wizard.trust.trusted_keys import TrustedKind, trust


@pytest.fixture
def store(tmp_path):
    """A home with a closed job and a key; the job is signed."""
    store = home_at(tmp_path / "home")
    create(store.root)
    folder = store.home.session_folder(SESSION)
    assert SealSigner(store.root, store.clock).sign_again(folder, seals_of(store.home, SESSION))
    return store


@pytest.fixture
def folder(store):
    return store.home.session_folder(SESSION)


def key_of(store):
    return load_signatures(store.home.session_folder(SESSION))[0].key


def seal_of(store):
    return verified(store, SESSION).trust.seal


def reviewed(store):
    """Returned, noted and answered, all signed."""
    desk, loaded = ReviewDesk(store, SESSION), store.load(SESSION)
    desk.note("A. Reed", "Which floor?", 7)
    review = desk.sign("A. Reed", Ruling.RETURN, "Measure again.", loaded.chain, len(loaded.records))
    return desk.respond("R. Vale", "Measured: 34 N.", review.waiting)


def test_a_job_is_signed_as_it_is_closed(tmp_path):
    """Through the same door as every job: the closing event's seal, beside the journal, before anything else."""
    from tests.helpers.wandering_jobs import Watched
    from wizard.domain.vocabulary import NextKind
    from wizard.engine.messages import commands as c

    key = create(tmp_path)
    job = Watched(tmp_path)
    job.through("quick")
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    journal = job.opened.folder / "journal.toml"
    assert load_signatures(job.opened.folder) == ()
    job.do(c.Close())
    job.opened.close()
    (one,) = load_signatures(job.opened.folder)
    reading = read(journal)
    assert (one.key, one.chain, one.events) == (key.public, reading.last_chain, len(reading.events))
    assert one.session == job.opened.name and job.opened.unsigned == ""


def test_a_key_that_can_not_be_used_keeps_no_job_from_closing(tmp_path):
    from tests.helpers.wandering_jobs import Watched
    from wizard.domain.vocabulary import NextKind
    from wizard.engine.messages import commands as c

    (tmp_path / "signing-key.pem").write_bytes(b"torn")
    (tmp_path / "signing-key.pem").chmod(0o600)
    job = Watched(tmp_path)
    job.through("quick")
    job.until(NextKind.DECIDE)
    job.do(c.Confirm(()))
    job.until(NextKind.CLOSE)
    job.do(c.Close())
    job.opened.close()
    assert "The seal is not signed" in job.opened.unsigned and "signing-key.pem" in job.opened.unsigned
    assert verified(
        job.opened_store if hasattr(job, "opened_store") else store_at(tmp_path), job.opened.name
    ).ok


def test_what_verifying_says_of_a_signature(store):
    """Not known to this shop, then known by its name; neither is wrong."""
    assert seal_of(store).standing is SignatureStanding.UNKNOWN
    trust(store.root, TrustedKind.COMPUTER, "Van 3", key_of(store))
    found = verified(store, SESSION)
    assert found.ok and found.trust.seal.standing is SignatureStanding.KNOWN
    assert any("Closing seal: signed by key " in line and "as Van 3." in line for line in lines_of(found))


def test_a_session_without_a_signature_is_said_to_have_none(tmp_path):
    found = verified(home_at(tmp_path), SESSION)
    assert found.ok and found.trust.seal.standing is SignatureStanding.NONE
    lines = list(lines_of(found))
    assert "Closing seal: no signature." in lines
    assert "Not checked: No signature was checked: there is none of the closing seal." in lines


def test_without_the_library_a_signature_is_neither_right_nor_wrong(store, monkeypatch):
    monkeypatch.setattr(ed25519, "available", lambda: False)
    found = verified(store, SESSION)
    assert found.ok and found.trust.seal.standing is SignatureStanding.UNCHECKED
    assert "extra 'sign'" in " ".join(lines_of(found))


def test_every_byte_of_the_signature_file_counts(store, folder):
    """One bit of any byte flipped, spaces and line ends too: wrong, or no file of signatures, and never known."""
    path = folder / seal_signature.NAME
    trust(store.root, TrustedKind.COMPUTER, "Van 3", key_of(store))
    loaded, whole = store.load(SESSION), path.read_bytes()
    chains = read(folder / "journal.toml").chains
    from wizard.trust.signature_check import seal_found
    from wizard.trust.trusted_keys import load_trusted

    trusted = load_trusted(store.root)
    assert seal_found(folder, SESSION, chains, loaded.seal, trusted).standing is SignatureStanding.KNOWN
    for at in range(len(whole)):
        for bit in (0, 5):
            changed = bytearray(whole)
            changed[at] ^= 1 << bit
            path.write_bytes(changed)
            found = seal_found(folder, SESSION, chains, loaded.seal, trusted)
            assert found.standing is SignatureStanding.WRONG, (at, bit, bytes(changed))


def test_every_byte_of_the_journal_counts(store, folder):
    """A bit of every 97th byte flipped, and of the last hundred: verifying fails each time."""
    path = folder / "journal.toml"
    whole = path.read_bytes()
    from wizard.journal.journal_verification import verify

    for at in (*range(0, len(whole), 97), *range(len(whole) - 100, len(whole))):
        changed = bytearray(whole)
        changed[at] ^= 1
        path.write_bytes(changed)
        assert not verify(path).ok, at


def test_a_session_of_another_name_does_not_take_the_signature(store, folder):
    """The file copied to another session: its seal is none of that one's."""
    other = store.home.sessions / "2026-03-02-b"
    shutil.copytree(folder, other)
    found = verified(store, SESSION).trust.seal
    assert found.standing is SignatureStanding.UNKNOWN
    one = load_signatures(folder)[0]
    (folder / seal_signature.NAME).write_bytes(
        seal_signature.dump_signatures([replace(one, session="2026-03-02-b")])
    )
    assert verified(store, SESSION).trust.seal.wrong


def test_a_signature_of_a_seal_that_is_not_there_is_wrong(store, folder):
    """The last event cut off: what was signed is not what stands there; exit is that of a problem."""
    path = folder / "journal.toml"
    head = b"[[event]]\n"
    path.write_bytes(head + head.join(path.read_bytes().split(head)[1:-1]))
    found = verified(store, SESSION)
    assert not found.ok and any(
        "The closing seal: the signature is wrong" in line for line in troubles(found)
    )


def test_a_review_is_signed_and_holds(store):
    reviewed(store)
    found = verified(store, SESSION)
    assert found.ok and len(found.trust.rows) == 4
    assert {row.found.standing for row in found.trust.rows} == {SignatureStanding.UNKNOWN}
    trust(store.root, TrustedKind.COMPUTER, "Office", key_of(store))
    lines = list(verified(store, SESSION).trust.lines)
    assert any(line.startswith("Signed off by A. Reed, returned") and "as Office." in line for line in lines)


def test_every_word_of_a_signed_review_counts(store, folder):
    """One bit of any byte flipped: it can't be read, a signature is wrong, or what was answered is another row."""
    reviewed(store)
    path, whole = folder / sign_off.NAME, (folder / sign_off.NAME).read_bytes()
    from wizard.sessions.trusting.trust_report import trust_report
    from wizard.trust.trusted_keys import Trusted

    chains, seal = read(folder / "journal.toml").chains, store.load(SESSION).seal
    quiet = []
    for at in range(len(whole)):
        changed = bytearray(whole)
        changed[at] ^= 1
        path.write_bytes(changed)
        try:
            review = sign_off.load(folder)
        except JournalError:
            continue
        if not trust_report(
            folder, SESSION, "", chains, seal, review, Trusted(), LedgerStanding.NO_LEDGER, False
        ).troubles:
            quiet.append((at, whole[max(0, at - 20) : at + 20], review))
    assert quiet == []


def test_a_row_moved_to_another_session_is_wrong(store, folder):
    """A sign-off is of one session: its id is among what is signed."""
    review = reviewed(store)
    from wizard.sessions.trusting.trust_report import trust_report
    from wizard.trust.trusted_keys import Trusted

    found = trust_report(
        folder, "2026-03-02-b", "", (), "", review, Trusted(), LedgerStanding.NO_LEDGER, False
    )
    assert sum(row.found.wrong for row in found.rows) == 4


def test_signatures_travel_and_two_copies_are_put_together(store, folder, tmp_path):
    """In the zip; onto a session that is here without; the private key in none."""
    there = store_at(tmp_path / "there")
    path = export(store, SESSION, tmp_path / "sent.zip")
    assert b"PRIVATE KEY" not in path.read_bytes()
    done = import_(there, path)
    assert "signature.toml" in done.added
    (done.folder / "signature.toml").unlink()
    again = import_(there, path)
    assert again.outcome is ImportOutcome.SAME and again.added == ("signature.toml",)
    create(there.root)
    assert SealSigner(there.root, there.clock).sign_again(done.folder, seals_of(there.home, SESSION))
    assert len(load_signatures(done.folder)) == 2 and import_(there, path).added == ()
    assert len(load_signatures(done.folder)) == 2 and verified(there, SESSION).ok


def test_a_parcel_with_signatures_that_are_none_is_refused(store, folder, tmp_path):
    (folder / "signature.toml").write_bytes(b"format = 9\n")
    path = export(store, SESSION, tmp_path / "sent.zip")
    with pytest.raises(JournalError, match="not signatures of format 1"):
        import_(store_at(tmp_path / "there"), path)


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff", b"format = 2\n", b"format = 1\nseal = 3\n", b'format = 1\n[[seal]]\nsession = "x"\n'],
)
def test_a_file_that_is_none_is_said(store, folder, data):
    (folder / "signature.toml").write_bytes(data)
    found = verified(store, SESSION)
    assert not found.ok and "signature.toml" in found.trust.seal.why


def test_a_message_can_not_be_read_in_two_ways():
    """Each thing said is on a line of its own, and none can hold a line's end."""
    one = SealSignature(SESSION, "ab" * 32, 40, "2026-03-03T10:00:00Z")
    assert one.sound and one.message.decode().splitlines() == [
        "steadfoot closing seal 1", f"session {SESSION}", f"chain {'ab' * 32}", "events 40", "at 2026-03-03T10:00:00Z",
    ]  # fmt: skip
    assert not replace(one, at="2026-03-03T10:00:00Z\nevents 41").sound
    assert not replace(one, session="a\nb").sound


def test_a_visit_that_follows_is_not_covered_and_it_is_said(store, folder):
    """A new visit, not closed: the earlier closing stays signed, and what follows it is said not to be."""
    from wizard.engine.messages import commands as c

    with store.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
    found = verified(store, SESSION).trust
    assert found.seal.standing is SignatureStanding.UNKNOWN and found.after
    assert any("the last closing seal: no seal of what came after" in line for line in found.unchecked)


def test_a_second_closing_is_signed_too_and_both_hold(tmp_path):
    """Closed, come back, closed again: two signatures, each of its own closing event."""
    from tests.helpers.flows.case_dicts import case
    from tests.trust.edited_homes import Told, played
    from wizard.domain.vocabulary import NextKind
    from wizard.engine.driver import Driver
    from wizard.engine.messages import commands as c
    from wizard.engine.queries import next_queries
    from wizard.flowcheck.cases.case_script import Script

    create(tmp_path)
    name = played(tmp_path, Told())
    there = store_at(tmp_path)
    with there.resume(name) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
        driver = Driver(opened.session, Script(case()), there.clock.move)
        while driver.advance():
            if next_queries.next_up(opened.session.view).kind is NextKind.CLOSE:
                opened.session.do(c.Close())
                break
    some = load_signatures(there.home.session_folder(name))
    found = verified(there, name)
    assert len(some) == 2 and some[0].events < some[1].events
    assert found.trust.seal.standing is SignatureStanding.UNKNOWN and found.trust.after == 0


def test_without_the_library_a_command_goes_its_way(store):
    """In a Python that has no such library: verifying ends with 0 and says that the signature can't be checked."""
    code = (
        "import sys; sys.modules['cryptography'] = None\n"
        "from wizard.cli.main import main\n"
        f"sys.exit(main(['--home', {str(store.root)!r}, 'session', 'verify', {SESSION!r}]))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, encoding="utf-8", timeout=120)
    assert done.returncode == 0, done.stderr
    assert "which can't be checked here" in done.stdout and "extra 'sign'" in done.stdout
