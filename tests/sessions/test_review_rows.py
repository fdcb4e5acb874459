"""The rows of a review: what waits for an answer, which words say something, two copies put together."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.errors import UsageError
from wizard.sessions import sign_off
from wizard.sessions.review_inbox import InboxRow, inbox_words
from wizard.sessions.reviews.review_rows import (
    Review,
    ReviewNote,
    ReviewResponse,
    Ruling,
    SignOff,
    merged,
    row_bytes,
    row_id,
    wordless,
)
from wizard.sessions.reviews.review_text import review_lines, signed_head

NOTE = ReviewNote("A. Reed", "2026-03-03T10:00:00Z", "How was the scale held?", 14)
RETURNED = SignOff("A. Reed", "2026-03-03T11:00:00Z", "ab" * 32, 40, "Measure again.", Ruling.RETURN)
ACCEPTED = SignOff("A. Reed", "2026-03-03T12:00:00Z", "ab" * 32, 40, "Well done.", Ruling.ACCEPT)


def answer(row, text="Level, at the hook."):
    return ReviewResponse("R. Vale", "2026-03-04T10:00:00Z", text, row_id(row))


@pytest.mark.parametrize("text", ["", "  ", "x", "xxxx", "...", "ok", "12 34", "- x -", "\u00e9"])
def test_what_says_nothing_is_no_word(text):
    assert "Write what you found" in wordless(text)


@pytest.mark.parametrize(
    "text", ["Yes.", "Seen.", "34 N on both", "\u0434\u0430 \u0434\u0430\u043c", "\u826f\u3044"]
)
def test_words_of_any_script_say_something(text):
    assert wordless(text) == ""


@pytest.mark.parametrize("ruling", [Ruling.ACCEPT, Ruling.RETURN, Ruling.TRAIN])
def test_no_ruling_goes_without_words(tmp_path, ruling):
    with pytest.raises(UsageError, match="'x' says nothing"):
        sign_off.sign(tmp_path, SignOff("A. Reed", "", "ab" * 32, 1, "x", ruling))
    assert not (tmp_path / sign_off.NAME).exists()


def test_a_sign_off_states_what_it_comes_to(tmp_path):
    """That of an earlier program is read, and nothing is made of what it did not state."""
    with pytest.raises(UsageError, match="accept, return, train"):
        sign_off.sign(tmp_path, SignOff("A. Reed", "", "ab" * 32, 1, "Seen."))
    old = b'format = 1\n[[signed]]\nby = "A. Reed"\nat = "2026-03-03T10:00:00Z"\nchain = "ab"\nevents = 3\n'
    (row,) = sign_off.parse(old).signed
    assert row.ruling is Ruling.UNSTATED and signed_head(row) == "Signed off by A. Reed, 3 March 2026"
    assert sign_off.parse(old).waiting == ()


def test_what_waits_is_the_last_ruling_and_the_notes_that_nothing_settled():
    assert Review((NOTE,), (RETURNED,)).waiting == (RETURNED, NOTE)
    assert Review((NOTE,), (RETURNED,), (answer(RETURNED),)).waiting == (NOTE,)
    assert Review((NOTE,), (RETURNED, ACCEPTED)).waiting == ()
    later = ReviewNote("A. Reed", "2026-03-03T13:00:00Z", "One more thing.")
    assert Review((NOTE, later), (RETURNED, ACCEPTED)).waiting == (later,)


def test_an_answer_stands_to_the_words_that_it_was_given_to():
    """The sign-off changed afterwards: nothing is answered any more, and it waits again."""
    changed = SignOff(RETURNED.by, RETURNED.at, RETURNED.chain, 40, "Measure both again.", Ruling.RETURN)
    review = Review((), (changed,), (answer(RETURNED),))
    assert review.responses_to(changed) == () and review.waiting == (changed,)


def test_an_answer_to_what_is_not_there_is_refused(tmp_path):
    with pytest.raises(UsageError, match="no longer there"):
        sign_off.respond(tmp_path, [answer(NOTE)])
    sign_off.add_note(tmp_path, NOTE)
    assert sign_off.respond(tmp_path, [answer(NOTE)]).responses == (answer(NOTE),)
    assert sign_off.load(tmp_path).responses == (answer(NOTE),)


texts = st.text(max_size=6)
rows = st.builds(ReviewNote, texts, texts, texts, st.integers(0, 9)) | st.builds(
    SignOff, texts, texts, texts, st.integers(0, 9), texts, st.sampled_from(list(Ruling))
)


@given(rows, rows)
def test_two_rows_have_the_same_bytes_only_where_they_are_the_same(one, other):
    assert (row_bytes(one) == row_bytes(other)) == (one == other)


def test_texts_that_run_into_each_other_are_told_apart():
    assert row_bytes(ReviewNote("ab", "c", "d")) != row_bytes(ReviewNote("a", "bc", "d"))


notes = st.lists(st.builds(ReviewNote, texts, st.sampled_from(["1", "2", "3"]), texts), max_size=4)


@given(notes, notes)
def test_two_copies_together_lose_nothing_and_a_second_time_add_nothing(mine, theirs):
    mine, theirs = dict.fromkeys(mine), dict.fromkeys(theirs)
    here, came = Review(tuple(sorted(mine, key=lambda r: r.at))), Review(tuple(theirs))
    both = merged(here, came)
    assert set(both.notes) == {*mine, *theirs} and len(both.notes) == len({*mine, *theirs})
    assert merged(both, came) == both and merged(both, here) == both
    assert [n.at for n in both.notes] == sorted(n.at for n in both.notes)


def test_a_review_in_lines_has_numbers_answers_and_what_waits():
    review = Review((NOTE,), (RETURNED,), (answer(RETURNED),))
    assert list(review_lines(review, "ab" * 32, 40)) == [
        "1  Note at event 14, A. Reed, 3 March 2026: How was the scale held?",
        "   Waits for an answer.",
        "2  Signed off by A. Reed, returned, 3 March 2026: Measure again.",
        "   Answered by R. Vale, 4 March 2026: Level, at the hook.",
    ]
    assert "(the record has 2 more since)" in list(review_lines(review, "cd" * 32, 42))[2]


def test_the_inbox_counts_what_there_is():
    def row(one, waits=True):
        return InboxRow("2026-03-02-a", one, waits, Review())

    assert inbox_words([]) == ""
    assert inbox_words([row(ACCEPTED, False)]) == "From the reviewer: 1 accepted (r reads it)."
    assert inbox_words([row(RETURNED), row(NOTE), row(NOTE), row(ACCEPTED, False)]) == (
        "From the reviewer: 1 returned, 2 with a note: answer it; 1 accepted (r reads it)."
    )
