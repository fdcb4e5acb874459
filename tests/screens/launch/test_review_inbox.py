"""What a reviewer wrote reaches the technician at the next start, and is answered by keys; the journal stays."""

import pytest

from tests.helpers.stage import GOOD, Stage
from tests.helpers.stored_sessions import SESSION, home_at
from wizard.screens.launch.app import SteadfootApp
from wizard.sessions import sign_off
from wizard.sessions.sign_off import Review, ReviewNote, Ruling, SignOff

AT = "2026-03-04T08:00:00Z"


@pytest.fixture
def store(tmp_path):
    return home_at(tmp_path)


@pytest.fixture
def folder(store):
    return store.home.session_folder(SESSION)


def ruled(store, folder, ruling, words="Measure the damper once more."):
    chain = store.load(SESSION).chain
    sign_off.sign(folder, SignOff("A. Reed", AT, chain, 40, words, ruling))


def everything(root):
    return {p: p.read_bytes() for p in root.rglob("*") if p.is_file() and p.name != "archive.db"}


class Home(Stage):
    @classmethod
    def over(cls, store):
        app = SteadfootApp(store, lambda: {"washer-bounce": GOOD})
        return app, lambda pilot: cls(app, pilot, None, store.clock)


async def test_home_says_nothing_of_a_reviewer_who_wrote_nothing(store):
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        assert "reviewer" not in s.text
        await s.press("r")
        assert s.name == "HomeScreen"


async def test_a_return_is_read_and_answered_by_keys(store, folder):
    """The line on home, the list, the words with their event, a name that is offered, the answer; then it is gone."""
    before = (folder / "journal.toml").read_bytes()
    sign_off.add_note(folder, ReviewNote("A. Reed", "2026-03-04T07:00:00Z", "Which drum was it?", 7))
    ruled(store, folder, Ruling.RETURN)
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        assert "From the reviewer: 1 returned, 1 with a note: answer it (r reads it)." in s.text
        assert "r reviewer" in s.text and "RETURNED: " in s.text
        await s.press("r")
        assert "RETURNED       A. Reed: Measure the damper once more." in s.text
        await s.press("enter")
        assert s.name == "ReviewRowPanel" and f"{SESSION}: RETURNED" in s.text
        assert "Signed off by A. Reed, returned, 4 March 2026" in s.text and "Complaint: " in s.text
        await s.press("enter")
        assert "Your name; it stands with the answer." in s.text
        await s.type("")
        await s.type("x")
        assert "'x' says nothing" in s.text
        await s.press("backspace")
        await s.type("Done, 34 N on both.")
        assert "Answered. It is kept beside the record." in s.text
        assert "From the reviewer: 1 with a note: answer it" in s.text
        await s.press("r", "enter")
        assert "Note at event 7, A. Reed" in s.text and "Event 7: " in s.text
    review = sign_off.load(folder)
    (answer,) = review.responses_to(review.signed[0])
    assert (answer.by, answer.text) == ("R. Vale", "Done, 34 N on both.")
    assert (folder / "journal.toml").read_bytes() == before


async def test_looking_writes_nothing(store, folder):
    """Read to the end and left by Esc: not a file more, not a byte else."""
    ruled(store, folder, Ruling.TRAIN)
    (folder / "review.lock").unlink(missing_ok=True)
    before = everything(store.root)
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        assert "1 to learn from" in s.text
        await s.press("r", "enter", "escape")
        assert s.name == "ListPanel"
        await s.press("escape")
        assert s.name == "HomeScreen"
    assert everything(store.root) == before


async def test_an_acceptance_is_shown_and_settles_notes_of_before(store, folder):
    sign_off.add_note(folder, ReviewNote("A. Reed", "2026-03-04T07:00:00Z", "Which drum was it?", 7))
    ruled(store, folder, Ruling.ACCEPT, "Good work.")
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        assert "From the reviewer: 1 accepted (r reads it)." in s.text
    assert sign_off.load(folder).waiting == ()


async def test_an_answer_that_can_not_be_written_is_said(store, folder, monkeypatch):
    """The review was changed meanwhile: a plain line, and home goes on."""
    ruled(store, folder, Ruling.RETURN)
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        await s.press("r", "enter", "enter")
        (folder / sign_off.NAME).write_bytes(sign_off.dumps(Review()))
        await s.type("")
        await s.type("Done on both.")
        assert "no longer there" in s.text and s.name == "HomeScreen"


async def test_hostile_words_stay_words(store, folder):
    """What moves a terminal's cursor is written as its code, in the list and in the panel."""
    ruled(store, folder, Ruling.RETURN, "Look \x1b[2J at [bold]this[/bold] \u202e again.")
    app, made = Home.over(store)
    async with app.run_test(size=(80, 24)) as pilot:
        s = made(pilot)
        await s.settle()
        await s.press("r")
        assert "\\x1b[2J" in s.text and "[bold]this[/bold]" in s.text
        await s.press("enter")
        assert "\\u202e" in s.text
