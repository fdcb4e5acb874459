"""A session that its disk damaged: shown, replayed, exported as far as its seals hold; what is missing is said."""

from __future__ import annotations

import random
import re
from pathlib import Path

import pytest

from tests.helpers.stored_sessions import SESSION, home_at
from wizard.archive.facts_reading import facts_of
from wizard.archive.session_facts import DAMAGED_END
from wizard.cli import replay_text, session_text
from wizard.cli.main import main
from wizard.domain.vocabulary import JobState
from wizard.errors import JournalError
from wizard.journal.journal_reader import parse
from wizard.screens.viewmodels.session_list import summary
from wizard.sessions.session_verification import verified
from wizard.sessions.sign_off import Review
from wizard.sessions.verifying.damaged_end import STANDS, UNTOLD

SEED = 20260302


@pytest.fixture
def store(tmp_path: Path):
    """A home with one closed session."""
    return home_at(tmp_path / "home")


def journal_of(store) -> Path:
    """The journal's file."""
    return store.home.session_folder(SESSION) / "journal.toml"


def blocks(data: bytes) -> list[int]:
    """Where each block begins."""
    return [0, *(m.end() for m in re.finditer(rb'chain = "[0-9a-f]{64}"\n', data))][:-1]


def hurt(store, data: bytes, bit: int) -> None:
    """The journal with one bit flipped."""
    made = bytearray(data)
    made[bit // 8] ^= 1 << bit % 8
    journal_of(store).write_bytes(made)


def shown(store) -> tuple[str, str]:
    """What 'session show' and 'session replay --list' write."""
    loaded = store.salvage(SESSION)
    return "\n".join(session_text.lines_of(loaded, Review())), "\n".join(replay_text.lines_of(loaded))


def test_a_seeded_sample_of_flipped_bits(store) -> None:
    """Of each: no traceback; every event but the one that was hit is in the replay, by its number; the damage is said
    in both with its line; and the session is broken for who verifies it.
    """
    path = journal_of(store)
    data = path.read_bytes()
    starts = blocks(data)
    events = [record.seq for record in store.load(SESSION).records]
    rng = random.Random(SEED)
    for bit in rng.sample(range(len(data) * 8), 60):
        hurt(store, data, bit)
        block = max(n for n, start in enumerate(starts) if start <= bit // 8)
        show, replay = shown(store)
        listed = {int(n) for n in re.findall(r"^ {0,4}(\d+)  \d\d:\d\d:\d\d", replay, re.MULTILINE)}
        assert set(events) - {events[block]} <= listed, bit
        for text in (show, replay):
            assert "Damaged" in text and re.search(r"^  Line \d+: ", text, re.MULTILINE), bit
        assert not verified(store, SESSION).ok, bit


@pytest.mark.parametrize("place", ["first", "middle", "entered", "last"])
def test_show_replay_and_export_on_the_command_line(store, tmp_path, capsys, place) -> None:
    """Whatever block was hit, the first one with the flow's digest too and the last one that closed the job: all three
    do their work and say it, and end with 4; verify ends with 4, and the job can't be worked on.
    """
    path = journal_of(store)
    data = path.read_bytes()
    starts = blocks(data)
    if place == "entered":
        at = data.index(b'kind = "entered"') + 9
    else:
        at = {"first": 60, "middle": starts[len(starts) // 2] + 30, "last": starts[-1] + 30}[place]
    hurt(store, data, at * 8)
    home = ["--home", str(store.root), "session"]
    for command in (["show", SESSION], ["show", SESSION, "--json"], ["replay", SESSION, "--list"]):
        assert main([*home, *command]) == 4
        written = capsys.readouterr()
        assert "Line " in written.out and "Traceback" not in written.err
        assert "is damaged" in written.err
    target = tmp_path / "sent.zip"
    assert main([*home, "export", SESSION, str(target)]) == 4
    assert "Damaged" in capsys.readouterr().out and target.is_file()
    assert main([*home, "verify", SESSION]) == 4
    capsys.readouterr()
    assert main(["--home", str(tmp_path / "other"), "session", "import", str(target)]) == 4
    assert "Traceback" not in capsys.readouterr().err
    before = path.read_bytes()
    with pytest.raises(JournalError):
        store.resume(SESSION)
    assert path.read_bytes() == before and not list(path.parent.glob("torn-*"))


def test_every_bit_of_a_closing_block_leaves_the_end_damaged_and_never_open(store) -> None:
    """A sample of the bits of the block that closed the job, and of its last two bytes: nowhere is the job under way or
    never closed, and nothing is written behind the damage.
    """
    path = journal_of(store)
    data = path.read_bytes()
    last = blocks(data)[-1]
    assert b'kind = "closed"' in data[last:]
    bits = random.Random(SEED).sample(range(8 * last, 8 * len(data) - 16), 10)
    for bit in (*bits, *range(8 * len(data) - 16, 8 * len(data), 5)):
        hurt(store, data, bit)
        found = store.load(SESSION)
        assert found.strange and found.torn == len(data) - last, bit
        damaged = store.salvage(SESSION)
        held = (
            damaged.state.job is JobState.CLOSED
        )  # But for two bytes behind its seal the block is as it was.
        assert damaged.broken and (held or (damaged.strange and UNTOLD in damaged.damage)), bit
        assert summary(store, SESSION).stands == STANDS and not summary(store, SESSION).going, bit
        facts = facts_of(store, SESSION)
        assert (facts.stands, facts.outcome) == (STANDS, DAMAGED_END), bit
        said = verified(store, SESSION)
        assert not said.ok and said.trust is not None, bit
        assert any("can't be told" in line for line in said.trust.unchecked), bit
        assert not any("never closed" in line for line in said.trust.unchecked), bit
        with pytest.raises(JournalError, match="last block is damaged"):
            store.resume(SESSION)


def test_a_closing_block_that_was_cut_short_is_none(store) -> None:
    """Lengths that a write may be cut at: what is left is no damaged end, and work goes on as ever."""
    path = journal_of(store)
    data = path.read_bytes()
    last = blocks(data)[-1]
    for stop in range(last + 1, len(data) - 1, 7):
        assert not parse(data[:stop], path).strange, stop
    path.write_bytes(data[: len(data) - 2])
    assert store.salvage(SESSION).broken is False
    with store.resume(SESSION) as opened:
        assert "cut off" in opened.recovered[0]


def test_a_damaged_end_that_closed_nothing_is_set_aside_and_said(store) -> None:
    """An answer as the last block: looking at it ends with 4; the job is taken up again behind it, with a sentence."""
    path = journal_of(store)
    data = path.read_bytes()
    starts = blocks(data)
    ends = (*starts[1:], len(data))
    at, stop = [(a, b) for a, b in zip(starts, ends, strict=True) if b'kind = "answered"' in data[a:b]][-1]
    hurt(store, data[:stop], 8 * (data.index(b"sequence = ", at) + 11))
    assert store.salvage(SESSION).broken and summary(store, SESSION).stands == STANDS
    with store.resume(SESSION) as opened:
        assert "altered, or is there twice" in opened.recovered[0]


def test_what_follows_a_lost_beginning_of_a_run_is_not_given_to_another(store) -> None:
    """The event that began a run is gone: its answers are listed as sealed and not to be followed, and no other run
    gets them.
    """
    whole = store.load(SESSION)
    data = journal_of(store).read_bytes()
    at = data.index(b'kind = "entered"', data.index(b'kind = "answered"')) + 9
    hurt(store, data, at * 8)
    loaded = store.salvage(SESSION)
    assert loaded.trouble and "which never began" in " ".join(loaded.trouble)
    before = {g.seq: (g.inspection, g.step) for g in whole.state.answer_records}
    after = {g.seq: (g.inspection, g.step) for g in loaded.state.answer_records}
    assert after and all(before[seq] == where for seq, where in after.items())
    show, _replay = shown(store)
    assert "Sealed, and not to be followed without what is missing" in show


def test_a_whole_session_is_read_as_ever(store) -> None:
    """Nothing is said of damage, and all is the same."""
    whole, loaded = store.load(SESSION), store.salvage(SESSION)
    assert loaded.damage == () and loaded.records == whole.records and loaded.state == whole.state
    assert (loaded.chain, loaded.seal, loaded.trouble) == (whole.chain, whole.seal, whole.trouble)
    show, replay = shown(store)
    assert "Damaged" not in show + replay


def test_what_is_no_journal_is_refused_in_words(store) -> None:
    """No block of it is sealed: there is nothing to show."""
    journal_of(store).write_bytes(b"nothing of the kind\n" * 9)
    with pytest.raises(JournalError, match="Restore the file from a copy"):
        store.salvage(SESSION)
