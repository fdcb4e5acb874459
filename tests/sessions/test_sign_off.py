"""Notes and sign-offs beside the journal."""

import threading
import tomllib

import pytest
from filelock import FileLock

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.errors import JournalBusy, JournalError, JournalLost, UsageError
from wizard.journal import durable_io, held_file
from wizard.sessions import sign_off
from wizard.sessions.sign_off import NAME, Review, ReviewNote, Ruling, SignOff, add_note, load, sign

NOTE = ReviewNote("A. Reed", "2026-03-03T10:00:00Z", "Ask how the scale was held.", 14)
SIGNED = SignOff("A. Reed", "2026-03-03T10:05:00Z", "ab" * 32, 40, "Well done.", Ruling.ACCEPT)


def test_folder_without_a_review_has_an_empty_one(tmp_path):
    assert load(tmp_path) == Review()


def test_note_and_signature_come_back_as_written(tmp_path):
    """Both in one file, oldest first, and it is TOML."""
    add_note(tmp_path, NOTE)
    sign(tmp_path, SIGNED)
    add_note(tmp_path, ReviewNote("B. Moss", "2026-03-04T10:00:00Z", 'Quotes " and\nlines, größer.'))
    review = load(tmp_path)
    assert review.notes[0] == NOTE and review.notes[1].text == 'Quotes " and\nlines, größer.'
    assert review.signed == (SIGNED,)
    assert tomllib.loads((tmp_path / NAME).read_text(encoding="utf-8"))["format"] == 2


def test_journal_is_not_touched(tmp_path):
    """Not a byte of it, nor its time."""
    store = home_at(tmp_path)
    folder = store.home.session_folder(SESSION)
    journal = folder / "journal.toml"
    before = journal.read_bytes(), journal.stat().st_mtime_ns
    add_note(folder, NOTE)
    sign(folder, SIGNED)
    assert (journal.read_bytes(), journal.stat().st_mtime_ns) == before


def test_signature_covers_the_journal_that_it_names():
    assert SIGNED.covers("ab" * 32) and not SIGNED.covers("cd" * 32)


@pytest.mark.parametrize(
    ("note", "says"),
    [(ReviewNote("A", "", "  "), "Nothing is written"), (ReviewNote(" ", "", "Seen."), "needs a name")],
)
def test_empty_note_or_nobody_is_refused(tmp_path, note, says):
    with pytest.raises(UsageError, match=says):
        add_note(tmp_path, note)
    assert not (tmp_path / NAME).exists()


def test_signature_of_nobody_is_refused(tmp_path):
    with pytest.raises(UsageError, match="needs a name"):
        sign(tmp_path, SignOff("", "", "ab" * 32, 1, "Seen.", Ruling.ACCEPT))


def test_lone_surrogate_becomes_a_question_mark(tmp_path):
    """What no file can hold doesn't stop the note."""
    add_note(tmp_path, ReviewNote("A", "", "bad \udcff letter"))
    assert load(tmp_path).notes[0].text == "bad ? letter"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"\xff\xfe", "not TOML in UTF-8"),
        (b"[[note\n", "not TOML in UTF-8"),
        (b"format = 3\n", "not a review of format 1 or 2"),
        (b"format = 1\nother = 1\n", "not a review of format 1"),
        (b"format = 1\nnote = 3\n", "must be a list of tables"),
        (b"format = 1\nnote = [3]\n", "it is no table. Its keys are by, at, text, event"),
        (b'format = 1\n[[note]]\nby = "A"\nat = ""\n', "its key 'text' is missing"),
        (b'format = 1\n[[note]]\nby = "A"\nat = ""\ntext = 3\n', "its key 'text' is 3, not text"),
        (
            b'format = 1\n[[note]]\nby = "A"\nat = ""\ntext = "x"\nevent = true\n',
            "'event' is True, not a whole number",
        ),
        (
            b'format = 1\n[[signed]]\nby = "A"\nat = ""\ntext = "x"\n',
            "not known. Its keys are by, at, chain",
        ),
    ],
)
def test_file_that_is_no_review_is_refused_and_kept(tmp_path, text, says):
    """In words, with what to do; nothing is written over it."""
    (tmp_path / NAME).write_bytes(text)
    with pytest.raises(JournalError) as caught:
        add_note(tmp_path, NOTE)
    assert says in str(caught.value) and NAME in str(caught.value)
    assert (tmp_path / NAME).read_bytes() == text


def test_file_too_large_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(sign_off, "LARGEST", 100)
    (tmp_path / NAME).write_bytes(b"#" * 101)
    with pytest.raises(JournalError, match="this is no review"):
        load(tmp_path)


def test_review_that_grows_too_large_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(sign_off, "LARGEST", 300)
    add_note(tmp_path, NOTE)
    before = (tmp_path / NAME).read_bytes()
    with pytest.raises(UsageError, match="would be over"):
        add_note(tmp_path, ReviewNote("A", "", "word " * 60))
    assert (tmp_path / NAME).read_bytes() == before


def test_two_reviewers_at_once_lose_nothing(tmp_path):
    """Ten threads write a note each; all ten are there."""
    threads = [
        threading.Thread(target=add_note, args=(tmp_path, ReviewNote("A", "", f"note {n}")))
        for n in range(10)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert {n.text for n in load(tmp_path).notes} == {f"note {n}" for n in range(10)}


def test_file_held_by_another_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(held_file, "WAIT", 0.05)
    with FileLock(tmp_path / "review.lock"), pytest.raises(JournalBusy, match="another program"):
        add_note(tmp_path, NOTE)


def test_disk_that_refuses_leaves_the_old_review(tmp_path, monkeypatch):
    """A full disk: the earlier file stays whole."""
    add_note(tmp_path, NOTE)

    def full(path, data):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(durable_io, "write_new", full)
    with pytest.raises(JournalLost, match="the disk is full"):
        sign(tmp_path, SIGNED)
    assert load(tmp_path) == Review((NOTE,))
