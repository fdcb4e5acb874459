"""A ledger as a file: added to, torn, altered; its heads; sessions held against it; proofs that travel."""

import shutil
from dataclasses import replace

import pytest
from filelock import FileLock

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.cli.verification_text import troubles
from wizard.errors import JournalBusy, JournalError, UsageError
from wizard.journal import held_file
from wizard.journal.journal_reader import read
from wizard.journal.sealed_block import START, encode
from wizard.journal.session_name import name_beside
from wizard.sessions.session_verification import verified
from wizard.sessions.trusting.ledger_sessions import LedgerStanding, departures, missing, seals_of, unlisted
from wizard.trust.ledger_proof import LedgerProof, ProofKind, dump_proof, parse_proof, prove_line, prove_since
from wizard.trust.merkle_tree import leaf_hash, root_of
from wizard.trust.seal_ledger import (
    HEADER,
    NAME,
    LedgerEntry,
    LedgerHead,
    append,
    load_ledger,
    parse_ledger,
    read_head,
)

AT = "2026-03-04T08:00:00Z"


def entry(n):
    return LedgerEntry(AT, f"2026-03-02-{chr(97 + n % 26)}", n + 1, f"{n:064x}")


def filled(root, count):
    append(root, lambda _ledger: [entry(n) for n in range(count)])
    return load_ledger(root)


def test_a_home_without_a_ledger_has_none(tmp_path):
    assert load_ledger(tmp_path) is None


def test_lines_are_added_and_what_was_there_keeps_its_bytes(tmp_path):
    filled(tmp_path, 3)
    before = (tmp_path / NAME).read_bytes()
    append(tmp_path, lambda ledger: [entry(len(ledger.entries))])
    after = (tmp_path / NAME).read_bytes()
    assert after.startswith(before) and after.count(b"\n") == 5
    assert load_ledger(tmp_path).entries == tuple(map(entry, range(4)))


def test_the_head_is_that_of_the_lines_as_the_file_has_them(tmp_path):
    """Anybody can compute it: the leaves are the lines behind the first, without their ends."""
    ledger = filled(tmp_path, 5)
    lines = (tmp_path / NAME).read_bytes().splitlines()[1:]
    assert ledger.head == LedgerHead(5, root_of([leaf_hash(line) for line in lines]).hex())
    assert read_head(ledger.head.digits) == ledger.head
    assert ledger.head_at(0).root.startswith("e3b0c442")


@pytest.mark.parametrize("text", ["8 5DC9 da79a706 59a9", " 8  5dc9da79a70659a9 "])
def test_a_head_is_typed_as_people_type(text):
    assert read_head(text) == LedgerHead(8, "5dc9da79a70659a9")


@pytest.mark.parametrize(
    "text", ["", "8", "5dc9 da79 a706 59a9", "8 5dc9", "x 5dc9da79a70659a9", "8 " + "a" * 65]
)
def test_what_is_no_head_is_said(text):
    with pytest.raises(UsageError, match="is no head of a ledger"):
        read_head(text)


def test_a_write_that_was_cut_off_is_taken_away_by_the_next(tmp_path):
    """No head ever counted it: what is whole stays, and the head goes on from before."""
    head = filled(tmp_path, 3).head
    path = tmp_path / NAME
    path.write_bytes(path.read_bytes() + b"2026-03-04T08:0")
    assert load_ledger(tmp_path).torn and load_ledger(tmp_path).head == head
    append(tmp_path, lambda _ledger: [entry(3)])
    ledger = load_ledger(tmp_path)
    assert ledger.torn == b"" and len(ledger.entries) == 4 and ledger.departs(head) == ""


@pytest.mark.parametrize("change", ["alter", "drop", "swap", "add", "drop-last"])
def test_a_kept_head_shows_every_change_before_it(tmp_path, change):
    """A line altered, dropped, put in, or two swapped: the file is of its form, and no longer goes on from the head."""
    ledger = filled(tmp_path, 7)
    head, lines = ledger.head, list(ledger.entries)
    match change:
        case "alter":
            lines[2] = replace(lines[2], chain="f" * 64)
        case "drop":
            del lines[2]
        case "swap":
            lines[2], lines[3] = lines[3], lines[2]
        case "add":
            lines.insert(2, entry(20))
        case _:
            del lines[-1]
    (tmp_path / NAME).write_bytes(HEADER + b"".join(one.line + b"\n" for one in lines))
    changed = load_ledger(tmp_path)
    assert changed.departs(head) and not ledger.departs(head)
    assert changed.departs(replace(head, root=head.root[:16]))


def test_one_bit_anywhere_in_the_ledger_shows(tmp_path):
    """Of any byte of any line: it is no ledger, or its head is another."""
    head, whole = filled(tmp_path, 4).head, (tmp_path / NAME).read_bytes()
    for at in range(len(whole)):
        changed = bytearray(whole)
        changed[at] ^= 1
        try:
            assert parse_ledger(bytes(changed)).departs(head), at
        except JournalError:
            continue


@pytest.mark.parametrize("data", [b"", b"other\n", HEADER + b"x\n", HEADER + entry(1).line + b" more\n"])
def test_what_is_no_ledger_is_said_with_its_line_and_nothing_is_added(tmp_path, data):
    (tmp_path / NAME).write_bytes(data)
    with pytest.raises(JournalError, match=rf"{NAME}:[12]: "):
        append(tmp_path, lambda _ledger: [entry(0)])
    assert (tmp_path / NAME).read_bytes() == data


def test_a_ledger_held_by_another_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(held_file, "WAIT", 0.05)
    with FileLock(tmp_path / "ledger.lock"), pytest.raises(JournalBusy, match="another program"):
        append(tmp_path, lambda _ledger: [entry(0)])


# ---- sessions


@pytest.fixture
def store(tmp_path):
    """A home with a closed session in its ledger."""
    store = home_at(tmp_path / "home")
    append(store.root, lambda ledger: missing(ledger, seals_of(store.home, SESSION), AT))
    return store


def resealed(store, change):
    """The journal written anew, every seal made again."""
    journal = store.home.session_folder(SESSION) / "journal.toml"
    chain, blocks = START, []
    for event in change([dict(event) for event in read(journal).events]):
        block, chain = encode(event, chain)
        blocks.append(block)
    journal.write_bytes(b"".join(blocks))


def reworded(events):
    """Another word in a note, and nothing else."""
    return [
        {**e, "text": "The floor was dry."} if e.get("text") == "The floor is wet." else e for e in events
    ]


def of_ledger(store):
    return verified(store, SESSION).trust.ledger


def test_a_session_in_the_ledger_is_there_once(store):
    ledger = load_ledger(store.root)
    assert of_ledger(store) is LedgerStanding.THERE and list(departures(store.home, ledger)) == []
    assert missing(ledger, seals_of(store.home, SESSION), AT) == () and unlisted(store.home, ledger) == ()


def test_a_session_that_was_removed_shows(store):
    shutil.rmtree(store.home.session_folder(SESSION))
    (line,) = departures(store.home, load_ledger(store.root))
    assert line.startswith(f"Line 1: session {SESSION}, closed at event ") and "is not in this home" in line


def test_a_session_that_was_rewritten_shows_in_both(store):
    """Of the ledger's check, and of verifying the session itself."""
    resealed(store, reworded)
    (line,) = departures(store.home, load_ledger(store.root))
    assert "is another record now" in line and of_ledger(store) is LedgerStanding.DEPARTED
    assert any("has another closing seal" in trouble for trouble in troubles(verified(store, SESSION)))


def test_a_session_that_can_not_be_read_shows(store):
    journal = store.home.session_folder(SESSION) / "journal.toml"
    journal.write_bytes(journal.read_bytes().replace(b"sequence = 3\n", b"sequence = 4\n", 1))
    (line,) = departures(store.home, load_ledger(store.root))
    assert "can't be read" in line


def test_a_job_that_went_on_is_no_departure(store):
    """The earlier closing stands in its chain; the present end is closed no more, so it is not listed yet."""
    from wizard.engine.messages import commands as c

    with store.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
    assert list(departures(store.home, load_ledger(store.root))) == []
    assert of_ledger(store) is LedgerStanding.THERE


def test_another_record_beside_it_is_no_departure_of_this_one(store):
    """Two that parted, both kept: each is read for the line that is its own."""
    folder = store.home.session_folder(SESSION)
    shutil.copytree(folder, folder.with_name(name_beside(SESSION, read(folder / "journal.toml").last_chain)))
    resealed(store, reworded)
    assert of_ledger(store) is LedgerStanding.ABSENT


# ---- proofs


def test_proofs_come_back_from_their_file_and_hold(tmp_path):
    ledger = filled(tmp_path, 11)
    for index in range(11):
        proof = prove_line(ledger, index)
        assert parse_proof(dump_proof(proof)) == proof and proof.holds and proof.head == ledger.head
    for size in range(1, 12):
        proof = prove_since(ledger, size)
        assert parse_proof(dump_proof(proof)) == proof and proof.holds and proof.start == ledger.head_at(size)


def test_a_proof_of_something_else_does_not_hold(tmp_path):
    """Of the size only that it can be so: no hash holds it, so it counts by the kept head alone (RFC 6962, 2.1)."""
    ledger = filled(tmp_path, 11)
    line, since = prove_line(ledger, 4), prove_since(ledger, 6)
    for bad in (
        replace(line, line=entry(5).line.decode()), replace(line, index=5), replace(line, size=4),
        replace(line, root="0" * 64), replace(line, path=line.path[1:]), replace(line, path=(*line.path, "0" * 64)),
        replace(since, first=5), replace(since, first_root="0" * 64), replace(since, root="0" * 64),
        replace(since, path=since.path[1:]), replace(since, size=5),
    ):  # fmt: skip
        assert not bad.holds, bad


@pytest.mark.parametrize("bad", [-1, 11])
def test_no_proof_is_made_of_what_is_not_there(tmp_path, bad):
    ledger = filled(tmp_path, 11)
    with pytest.raises(UsageError, match="11 lines"):
        prove_line(ledger, bad)
    with pytest.raises(UsageError, match="11 lines"):
        prove_since(ledger, bad + 1 if bad > 0 else 0)


@pytest.mark.parametrize(
    "data",
    [
        b"", b"\xff", b"format = 2\n", b"format = 1\nproof = 3\n", b"format = 1\n[proof]\nkind = 'other'\n",
        b"format = 1\n[proof]\nkind = 'inclusion'\nsize = 1\nroot = 'zz'\n",
        dump_proof(LedgerProof(ProofKind.INCLUSION, 1, "0" * 64, line="x\u00e9")),
    ],
)  # fmt: skip
def test_a_file_that_is_no_proof_is_said(data):
    with pytest.raises(JournalError, match="no proof of a ledger"):
        parse_proof(data)
