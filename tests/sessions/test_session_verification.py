"""A session checked in all its parts, each shown whole and broken."""

import pytest

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.cli.verification_text import lines_of, troubles
from wizard.documents.document_tree import SealLine
from wizard.documents.files.paper_seal import split
from wizard.documents.writers.markdown import MARKDOWN
from wizard.errors import UsageError
from wizard.journal.journal_reader import read
from wizard.journal.sealed_block import START, encode, grouped
from wizard.sessions.session_verification import verified
from wizard.sessions.sign_off import Ruling, SignOff, sign


@pytest.fixture
def store(tmp_path):
    return home_at(tmp_path)


@pytest.fixture
def folder(store):
    return store.home.session_folder(SESSION)


@pytest.fixture
def journal(folder):
    return folder / "journal.toml"


def blocks(journal):
    """The journal's blocks as bytes."""
    head = b"[[event]]\n"
    return [head + part for part in journal.read_bytes().split(head)[1:]]


def test_untouched_session_is_whole(store, journal):
    """Chain, flow, photo, handover and rules; the last value printed is the last one."""
    found = verified(store, SESSION, grouped(read(journal).last_chain))
    assert found.ok and found.chain.printed == "last"
    assert [c.name for c in found.papers] == ["HANDOVER.md", "RECORD.md"]
    assert len(found.attachments) == 1 and found.breaches == () and found.read == ""
    assert found.flow.note.startswith("washer-bounce 1, digest ")
    assert found.signed is None and not found.stale


def on_paper(folder):
    """The seal that the customer's paper bears."""
    last = (folder / "HANDOVER.md").read_text(encoding="utf-8").splitlines()[-1]
    return last.split("`")[1]


def test_paper_bears_the_seal_of_the_last_event(folder, journal):
    """The value that the customer has is that of the closing event, not of one before the papers were written."""
    reading = read(journal)
    assert reading.events[-1]["kind"] == "closed"
    assert on_paper(folder) == grouped(reading.last_chain)


@pytest.mark.parametrize("cut", [1, 2, 7])
def test_blocks_cut_off_the_end_are_seen_against_the_paper(store, folder, journal, cut):
    """Whole blocks gone leave a chain that holds; the value on the customer's paper is then in no block."""
    printed = on_paper(folder)
    journal.write_bytes(b"".join(blocks(journal)[:-cut]))
    found = verified(store, SESSION, printed)
    assert not found.ok
    assert [p.kind for p in found.chain.problems] == ["cut-off"]


@pytest.mark.parametrize("cut", [1, 2, 7])
def test_paper_in_the_folder_shows_a_cut_even_when_nothing_is_given(store, journal, cut):
    """As long as nobody altered its seal no value need be typed, even if the journal no longer knows of the paper."""
    journal.write_bytes(b"".join(blocks(journal)[:-cut]))
    found = verified(store, SESSION)
    assert found.chain.ok and not found.ok
    assert "is in no block of the journal" in found.papers[0].trouble


def test_seal_on_the_paper_moved_to_an_earlier_event_is_seen(store, folder, journal):
    """Both cut and paper altered to fit: the event that it names closes nothing."""
    kept = blocks(journal)
    journal.write_bytes(b"".join(kept[:-1]))
    paper = folder / "HANDOVER.md"
    last = MARKDOWN.seal_line(SealLine(grouped(read(journal).last_chain)))
    paper.write_bytes(split(paper.read_bytes())[0] + last)
    assert "an event that closes no visit" in verified(store, SESSION).papers[0].trouble


def test_paper_without_its_seal_is_a_note(store, folder):
    """The program ended between closing and writing it: nothing is wrong, and it is said how it comes."""
    paper = folder / "HANDOVER.md"
    paper.write_bytes(split(paper.read_bytes())[0] + MARKDOWN.seal_line(SealLine()))
    found = verified(store, SESSION)
    assert found.ok and "when the closed job is opened" in found.notes[0]


@pytest.mark.parametrize("last", [b"Seal of the record: `0123 4567 89ab cdef`\n", b"Signed.\n", b"Signed."])
def test_last_line_that_is_no_seal_is_seen(store, folder, last):
    """The digest leaves the last line out, so whatever stands there is held to the chain."""
    paper = folder / "HANDOVER.md"
    paper.write_bytes(split(paper.read_bytes())[0] + last)
    assert "is in no block of the journal" in verified(store, SESSION).papers[0].trouble


def test_handover_that_the_journal_does_not_know_is_seen_once_sealed(store, folder):
    """A sealed paper of another visit was handed over once; one with room for a seal was written, and no more."""
    paper = (folder / "HANDOVER.md").read_bytes()
    unknown = folder / "HANDOVER-2.md"
    unknown.write_bytes(split(paper)[0] + MARKDOWN.seal_line(SealLine()))
    assert verified(store, SESSION).ok
    unknown.write_bytes(split(paper)[0] + MARKDOWN.seal_line(SealLine("0123 4567 89ab cdef")))
    assert [c.name for c in verified(store, SESSION).papers if c.trouble] == ["HANDOVER-2.md"]


def test_altered_record_is_found(store, folder):
    """The technician's record is held to the journal as the customer's paper is."""
    record = folder / "RECORD.md"
    record.write_bytes(record.read_bytes() + b"- And the pump was new.\n")
    (trouble,) = [c.trouble for c in verified(store, SESSION).papers if c.trouble]
    assert "RECORD.md" in trouble and "altered" in trouble


@pytest.mark.parametrize("where", [0, 5, -2, -1])
def test_block_altered_dropped_repeated_or_swapped_is_found(store, journal, where):
    """Each of the four, at the start, in the middle and at the end; none passes."""
    kept = blocks(journal)
    place = where % len(kept)
    other = (place + 1) % len(kept)
    swapped = list(kept)
    swapped[place], swapped[other] = swapped[other], swapped[place]
    harmed = [
        [*kept[:place], kept[place].replace(b"kind = ", b"kind  = ", 1), *kept[place + 1 :]],
        [*kept[:place], kept[place], *kept[place:]],
        swapped,
    ]
    if place != len(kept) - 1:
        harmed.append([*kept[:place], *kept[place + 1 :]])
    for one in harmed:
        journal.write_bytes(b"".join(one))
        found = verified(store, SESSION)
        assert not found.ok and found.chain.problems
        assert all(p.block >= 1 and p.line >= 1 for p in found.chain.problems)


def resealed(journal, change):
    """Write the journal anew with its events changed and every seal made again: what the chain can't see."""
    chain, parts = START, []
    for event in change([dict(e) for e in read(journal).events]):
        block, chain = encode(event, chain)
        parts.append(block)
    journal.write_bytes(b"".join(parts))


def test_event_the_rules_forbid_is_found_though_resealed(store, journal):
    """A step that establishes is taken out and every seal made anew: the chain holds, the rules don't."""

    def change(events):
        gone = next(e["sequence"] for e in events if e.get("step") == "plug" and e["kind"] == "answered")
        kept = [e for e in events if e["sequence"] != gone]
        return [{**e, "sequence": n} for n, e in enumerate(kept, 1)]

    printed = grouped(read(journal).last_chain)
    resealed(journal, change)
    found = verified(store, SESSION)
    assert found.chain.ok and found.breaches and not found.ok
    assert verified(store, SESSION, printed).chain.printed == "absent"


def test_unreadable_event_is_said_not_raised(store, journal):
    """An event of no kind that this program knows, well sealed."""
    resealed(journal, lambda events: [*events[:-1], {**events[-1], "kind": "lunch"}])
    found = verified(store, SESSION)
    assert found.chain.ok and "lunch" in found.read and not found.ok


def test_journal_of_another_session_is_found(store, folder, journal):
    """A folder renamed to another id."""
    folder.rename(folder.with_name("2026-03-02-b"))
    found = verified(store, "2026-03-02-b")
    assert "that of session 2026-03-02-a" in found.flow.trouble and not found.ok


def test_altered_flow_is_found(store):
    """One letter in a kept file."""
    file = next(store.home.kept.rglob("dampers.toml"))
    file.write_bytes(file.read_bytes().replace(b"Press the tub", b"Pull the tub"))
    found = verified(store, SESSION)
    assert "the kept flow was altered" in found.read and not found.ok


@pytest.mark.parametrize("harm", ["alter", "remove"])
def test_photo_altered_or_gone_is_found(store, folder, harm):
    photo = next((folder / "attachments").iterdir())
    photo.unlink() if harm == "remove" else photo.write_bytes(b"another picture")
    (checked,) = verified(store, SESSION).attachments
    assert not checked.ok and photo.name in checked.trouble


@pytest.mark.parametrize("harm", ["alter", "remove", "link"])
def test_handover_altered_gone_or_a_link_is_found(store, folder, harm):
    paper = folder / "HANDOVER.md"
    text = paper.read_bytes()
    paper.unlink()
    if harm == "alter":
        paper.write_bytes(text + b"And the pump was new.\n")
    if harm == "link":
        (folder / "copy.md").write_bytes(text)
        paper.symlink_to(folder / "copy.md")
    checked = verified(store, SESSION).papers[0]
    assert not checked.ok and "HANDOVER.md" in checked.trouble


@pytest.mark.parametrize("name", ["../../flows/x.md", "/etc/passwd", "journal.toml", "C:X.md"])
def test_handover_name_that_leads_away_is_not_followed(store, journal, name):
    def change(events):
        return [{**e, "name": name} if e["kind"] == "handed-over" else e for e in events]

    resealed(journal, change)
    checked = verified(store, SESSION).papers[0]
    assert "is no name that a handover file has" in checked.trouble


def sign_as_it_is(folder, journal):
    reading = read(journal)
    sign(
        folder,
        SignOff(
            "A. Reed", "2026-03-03T10:00:00Z", reading.last_chain, len(reading.events), "Seen.", Ruling.ACCEPT
        ),
    )


def test_signature_goes_stale_with_the_next_event(store, folder, journal):
    """A sign-off holds for the journal that was signed; what is added after it is no damage."""
    kept = blocks(journal)
    journal.write_bytes(b"".join(kept[:-1]))
    sign_as_it_is(folder, journal)
    assert verified(store, SESSION).signed.by == "A. Reed" and not verified(store, SESSION).stale
    journal.write_bytes(b"".join(kept))
    found = verified(store, SESSION)
    assert found.stale and found.ok and not found.unsigned
    assert "events were added since" in " ".join(lines_of(found))


@pytest.mark.parametrize("cut", [1, 2, 5])
def test_events_gone_that_were_signed_are_damage(store, folder, journal, cut):
    """A sign-off is the same evidence as a printed value: fewer events than were signed were cut off."""
    sign_as_it_is(folder, journal)
    (folder / "HANDOVER.md").unlink()
    journal.write_bytes(b"".join(blocks(journal)[:-cut]))
    found = verified(store, SESSION)
    assert not found.ok and found.chain.ok
    assert any("A. Reed signed" in line and "cut off" in line for line in troubles(found))
    assert "is whole" not in " ".join(lines_of(found))


def test_what_became_of_a_signed_record_is_said():
    """Nothing, more events, or fewer than were signed."""
    signed = SignOff("A. Reed", "2026-03-03T10:00:00Z", "ab" * 32, 40)
    assert signed.since("ab" * 32, 40) == ""
    assert signed.since("cd" * 32, 42) == "the record has 2 more since"
    assert "not all there" in signed.since("cd" * 32, 39)
    assert "not all there" in signed.since("cd" * 32, 40)


def test_signature_is_said_of_a_journal_that_can_not_be_read(store, folder, journal):
    """Damage in the middle: who signed it off is still told."""
    sign_as_it_is(folder, journal)
    kept = blocks(journal)
    journal.write_bytes(b"".join([*kept[:9], *kept[10:]]))
    found = verified(store, SESSION)
    assert found.read and found.signed.by == "A. Reed"
    assert "Signed off by A. Reed" in " ".join(lines_of(found))


def test_review_that_can_not_be_read_is_a_note(store, folder):
    """It is no part of the session, so it makes nothing of it wrong."""
    (folder / "review.toml").write_text("[[", encoding="utf-8")
    found = verified(store, SESSION)
    assert found.ok and "review.toml" in found.notes[0]


def test_torn_end_is_said(store, journal):
    journal.write_bytes(journal.read_bytes() + b"[[event]]\nsequence = ")
    found = verified(store, SESSION)
    assert not found.ok and [p.kind for p in found.chain.problems] == ["torn"]
    assert "cut off" in found.notes[0]


@pytest.mark.parametrize("harm", ["repeat", "alter"])
def test_last_block_repeated_or_altered_is_not_called_cut_off(store, journal, harm):
    """What is wrong with it the chain says; it is no write cut short."""
    kept = blocks(journal)
    end = [kept[-1]] * 2 if harm == "repeat" else [kept[-1].replace(b"closed", b"clozed")]
    journal.write_bytes(b"".join([*kept[:-1], *end]))
    found = verified(store, SESSION)
    assert not found.ok and "The last write was cut off" not in " ".join(lines_of(found))
    assert "is left out" in found.notes[0]


def test_no_such_session_is_refused(store):
    with pytest.raises(UsageError, match="Did you mean 2026-03-02-a"):
        verified(store, "2026-03-02-c")


def test_checking_changes_nothing(store, tmp_path):
    """Not a file more, not a byte else."""

    def everything():
        return {p: p.read_bytes() for p in tmp_path.rglob("*") if p.is_file()}

    before = everything()
    verified(store, SESSION, "0123 4567 89ab cdef")
    assert everything() == before
