"""Sessions on disk: kept flow, resume, torn ends, hand-edited journals."""

from __future__ import annotations

import pytest

from tests.helpers.jobs import GOOD, HandClock, good, usual
from wizard.engine.audit import audit
from wizard.engine.handlers.transaction import Rules
from wizard.engine.messages import commands as c
from wizard.engine.messages.events import Answered, Recorded, Shown, from_dict, to_dict
from wizard.errors import JournalBusy, JournalError, Refused, UsageError
from wizard.flow.parsing import flow_files
from wizard.journal.journal_reader import read
from wizard.journal.sealed_block import START, encode
from wizard.safety import WideningReason
from wizard.sessions.session_store import Store


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "home", HandClock())


def held(store: Store):
    """A session left with the plug held and tried, its journal closed."""
    opened = store.begin(good(), flow_files.read_folder(GOOD), "R. Vale")
    session = opened.session
    session.do(c.GiveAnswer(session.state.run.id, "danger", ("clear",)))
    for fact, value in (("kind", "front-loader"), ("dampers", "2"), ("stacked", "no"), ("serial", "")):
        session.do(c.SetFact(fact, value))
    session.do(c.SetComplaint("It walks."))
    session.do(c.OpenInspection("dampers"))
    while session.state.run.only:
        run = session.state.run
        session.do(c.GiveAnswer(run.id, run.at, usual(session.flow.inspections[run.inspection].step(run.at))))
    assert session.state.belief["supply"].values == {"held"}
    opened.close()
    return opened


def test_what_was_written_is_what_is_read(store):
    """Loaded from disk, the state is the live one."""
    opened = held(store)
    assert store.load(opened.name).state == opened.session.state


def test_the_exact_flow_is_kept_once(store):
    """By digest, and a second session adds nothing."""
    held(store)
    held(store)
    kept = [p for p in store.home.kept.iterdir() if p.is_dir()]
    assert [p.name for p in kept] == [good().digest]
    assert store.load("2026-03-02-b").flow == good()


def test_resuming_believes_nothing_and_keeps_what_was_believed_in_the_record(store):
    """The state of the journal is never trusted."""
    opened = held(store)
    with store.resume(opened.name) as again:
        assert again.session.state.belief["supply"].values > {"held", "live"}
        assert WideningReason.RESTART in {change.widening for change in again.session.state.changes}
    assert any(change.belief.get("supply") == {"held"} for change in store.load(opened.name).state.changes)


def test_one_writer_at_a_time(store):
    """A second program is told so."""
    opened = held(store)
    with store.resume(opened.name), pytest.raises(JournalBusy):
        store.resume(opened.name)


def test_a_torn_end_is_set_aside_and_said(store):
    """Half a block is kept in a file of its own; the event before it is the last."""
    opened = held(store)
    journal = opened.folder / "journal.toml"
    whole = journal.read_bytes()
    journal.write_bytes(whole[:-40])
    with store.resume(opened.name) as again:
        assert any("set aside" in said for said in again.recovered)
        assert again.session.state.belief["supply"].values > {"held", "live"}
    torn = list(opened.folder.glob("torn-*"))
    assert len(torn) == 1 and whole[:-40].endswith(torn[0].read_bytes())


def forged(store: Store, opened, extra) -> None:
    """Append events with valid seals, as somebody who knows the format could."""
    path = opened.folder / "journal.toml"
    chain, seq = read(path).last_chain, len(read(path).events)
    data = b""
    for event in extra:
        seq += 1
        block, chain = encode(to_dict(Recorded(seq, "2026-03-02T09:00:00Z", 0.0, event)), chain)
        data += block
    path.write_bytes(path.read_bytes() + data)


def test_a_hand_edited_journal_gains_nothing(store):
    """A forged belief is widened on loading, and the audit lists it."""
    opened = held(store)
    proved = {"dead": frozenset({"proved"}), "charge": frozenset({"bled"}), "supply": frozenset({"locked"})}
    forged(store, opened, [Shown(run=1, step="bounce", belief=proved)])
    loaded = store.load(opened.name)
    assert loaded.state.belief["dead"].values == {"proved"}
    breaches = audit(Rules.of(loaded.flow), loaded.records)
    assert [b.kind for b in breaches] == ["shown"]
    with store.resume(opened.name) as again:
        assert again.session.state.belief["dead"].values == {"no", "read", "proved"}
        with pytest.raises(Refused):
            again.session.do(c.GiveAnswer(1, "bounce", ("settles",)))


def test_an_event_of_another_version_is_said(store):
    """Unknown kinds and fields are not guessed at."""
    opened = held(store)
    path = opened.folder / "journal.toml"
    chain = read(path).last_chain
    block, _ = encode({"sequence": 99, "at": "x", "since": 0.0, "kind": "teleported"}, chain)
    path.write_bytes(path.read_bytes() + block)
    with pytest.raises(JournalError, match="another version"):
        store.load(opened.name)


def test_a_journal_of_an_older_format_is_refused_in_words(store):
    """With what to do, whether it is looked at or worked on, and it is left as it is."""
    opened = held(store)
    path = opened.folder / "journal.toml"
    tables = list(read(path).events)
    assert tables[0].pop("format") == 2
    tables[1] = {**tables[1], "kind": "a kind of long ago"}
    data, chain = b"", START
    for table in tables:
        block, chain = encode(table, chain)
        data += block
    path.write_bytes(data)
    for way in (store.load, store.resume):
        with pytest.raises(JournalError, match=f"Session {opened.name} is of format 1; .* older program"):
            way(opened.name)
    assert path.read_bytes() == data


def test_a_session_that_is_not_there_is_said(store):
    """With the nearest name."""
    opened = held(store)
    with pytest.raises(UsageError, match=opened.name):
        store.resume("2026-03-02-c")


def test_a_journal_without_a_beginning_is_said(store):
    """An empty file is no session to resume."""
    opened = held(store)
    (opened.folder / "journal.toml").write_bytes(b"")
    with pytest.raises(JournalError, match="beginning"):
        store.load(opened.name)


def test_a_photo_is_kept_with_its_digest(store, tmp_path):
    """Copied into the session, named by what it holds."""
    opened = held(store)
    photo = tmp_path / "spring.jpg"
    photo.write_bytes(b"\xff\xd8 a picture")
    with store.resume(opened.name) as again:
        again.attach(photo, "left spring")
        jotting = again.session.state.notes[-1]
    assert (jotting.text, len(jotting.sha256)) == ("left spring", 64)
    assert any(p.read_bytes() == photo.read_bytes() for p in (opened.folder / "attachments").iterdir())


@pytest.mark.parametrize(
    "field",
    [{"run": "1"}, {"goes": 3}, {"belief": "x"}, {"belief": {"gas": "none"}}, {"evidence": []}, {"odd": 1}],
)
def test_wrong_types_in_an_event_are_said(field):
    """Each field is what its type says."""
    good_one = to_dict(Recorded(1, "t", 0.0, Answered(run=1, step="a", chosen=("b",), goes="end")))
    assert from_dict(good_one).event == Answered(run=1, step="a", chosen=("b",), goes="end")
    with pytest.raises(JournalError, match="answered"):
        from_dict({**good_one, **field})
