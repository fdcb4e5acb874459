"""Sign-off, comment and answer on the command line; the archive's queue follows."""

import json

import pytest

from wizard.archive.facts_reading import facts_of
from wizard.archive.session_facts import SignStanding
from wizard.cli.context import CommandContext


@pytest.fixture
def journal(home, session):
    return home / "sessions" / session / "journal.toml"


def standing(home, session):
    return facts_of(CommandContext.of(str(home)).store, session).standing


def test_a_return_goes_there_and_back(run, home, session, journal):
    """Returned, commented at an event, answered, accepted: the queue has each; the journal is as it was."""
    before = journal.read_bytes()
    assert standing(home, session) is SignStanding.UNSIGNED
    said = run("session", "comment", session, "--event", "9", "--by", "C. Marsh", "--words", "Held how?")
    assert said.code == 0 and "1  Note at event 9, C. Marsh" in said.out
    said = run(
        "session", "signoff", session, "--ruling", "return", "--by", "C. Marsh", "--words", "Measure again."
    )
    assert said.code == 0 and "2  Signed off by C. Marsh, returned" in said.out
    assert standing(home, session) is SignStanding.RETURNED
    assert "returned by C. Marsh" in run("archive", "--list", "--sign", "returned").out
    assert "0 of 0 sessions" in run("archive", "--list", "--sign", "to-read").out
    said = run("session", "answer", session, "--to", "2", "--by", "R. Vale", "--words", "34 N on both.")
    assert said.code == 0 and "Answered by R. Vale" in said.out
    assert standing(home, session) is SignStanding.ANSWERED
    said = run("archive", "--list", "--sign", "to-read")
    assert "ANSWERED to C. Marsh" in said.out and "answered since it was returned" in said.out
    table = json.loads(run("session", "signoff", session, "--json").out)
    assert [row["waits"] for row in table["rows"]] == [True, False]
    assert table["responses"][0]["to"] == table["rows"][1]["id"]
    run("session", "signoff", session, "--ruling", "accept", "--by", "C. Marsh", "--words", "Well done.")
    assert standing(home, session) is SignStanding.SIGNED
    assert journal.read_bytes() == before
    assert "Answered by R. Vale" in run("session", "show", session).out


def test_training_waits_for_its_answer(run, home, session):
    run("session", "signoff", session, "--ruling", "train", "--by", "C. Marsh", "--words", "Look at event 9.")
    assert standing(home, session) is SignStanding.TRAINING
    assert run("session", "answer", session, "--by", "R. Vale", "--words", "I see.").code == 0
    assert standing(home, session) is SignStanding.ANSWERED


def test_showing_writes_nothing(run, home, session, journal):
    files = {p.name for p in journal.parent.iterdir()}
    assert "no reviewer wrote anything" in run("session", "signoff", session).out
    assert {p.name for p in journal.parent.iterdir()} == files


@pytest.mark.parametrize(
    ("args", "says"),
    [
        (("signoff", "--by", "C. Marsh", "--words", "Seen."), "--ruling accept, return or train"),
        (("signoff", "--ruling", "accept", "--by", "C. Marsh", "--words", "x"), "'x' says nothing"),
        (("signoff", "--ruling", "accept", "--words", "Seen."), "needs a name"),
        (("comment", "--event", "9999", "--by", "C. Marsh", "--words", "Seen."), "has no event 9999"),
        (("answer", "--by", "R. Vale", "--words", "Done."), "waits for an answer"),
        (("answer", "--to", "3", "--by", "R. Vale", "--words", "Done."), "There is no 3"),
    ],
)
def test_what_is_missing_is_said_and_nothing_written(run, journal, session, args, says):
    said = run("session", args[0], session, *args[1:])
    assert said.code == 2 and says in said.err
    assert not (journal.parent / "review.toml").exists()
