"""Sessions on disk: kept flow, resume, torn ends, hand-edited journals."""

from __future__ import annotations

import pytest
from jobs import GOOD, HandClock, good

from wizard.engine import commands as c
from wizard.engine.audit import audit
from wizard.engine.draft import Rules
from wizard.engine.events import Answered, Recorded, SafetyChanged, from_dict, to_dict
from wizard.engine.store import Store
from wizard.errors import JournalBusy, JournalError, Refused, UsageError
from wizard.flow import files
from wizard.journal.block import encode
from wizard.journal.read import read


@pytest.fixture
def store(tmp_path):
    return Store(tmp_path / "home", HandClock())


def isolated(store: Store):
    """A session left in the isolated state, its journal closed."""
    opened = store.begin(good(), files.read_folder(GOOD), "R. Vale")
    session = opened.session
    for fact, value in (("kind", "front-loader"), ("dampers", "2"), ("stacked", "no"), ("serial", "")):
        session.do(c.SetFact(fact, value))
    session.do(c.SetComplaint("It walks."))
    session.do(c.Open("isolate"))
    for answer in ("yes", "done", "no", "done"):
        run = session.state.run
        session.do(c.Answer(run.id, run.at, answer))
    assert session.state.safety == "isolated"
    opened.close()
    return opened


def test_what_was_written_is_what_is_read(store):
    """Loaded from disk, the state is the live one."""
    opened = isolated(store)
    assert store.load(opened.name).state == opened.session.state


def test_the_exact_flow_is_kept_once(store):
    """By digest, and a second session adds nothing."""
    isolated(store)
    isolated(store)
    kept = [p for p in store.home.kept.iterdir() if p.is_dir()]
    assert [p.name for p in kept] == [good().digest]
    assert store.load("2026-03-02-b").flow == good()


def test_resuming_ends_in_not_isolated_and_says_what_was_known(store):
    """The state of the journal is never trusted."""
    opened = isolated(store)
    with store.resume(opened.name) as again:
        assert again.session.state.safety == "covered"
        assert again.session.state.known.state == "isolated"
        assert again.session.state.gates[-1].why == "restart"
    assert store.load(opened.name).state.gates[-1].why == "restart"


def test_one_writer_at_a_time(store):
    """A second program is told so."""
    opened = isolated(store)
    with store.resume(opened.name), pytest.raises(JournalBusy):
        store.resume(opened.name)


def test_a_torn_end_is_set_aside_and_said(store):
    """Half a block is kept in a file of its own; the event before it is the last."""
    opened = isolated(store)
    journal = opened.folder / "journal.toml"
    whole = journal.read_bytes()
    journal.write_bytes(whole[:-40])
    with store.resume(opened.name) as again:
        assert any("set aside" in said for said in again.mended)
        assert again.session.state.safety == "covered"
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
    """A forged 'proving' is void on loading, and the replay lists it."""
    opened = isolated(store)
    forged(store, opened, [SafetyChanged(was="isolated", state="proving", why="gate", run=1)])
    loaded = store.load(opened.name)
    breaches = audit(Rules.of(loaded.flow), loaded.records)
    assert [b.kind for b in breaches] == ["safety"]
    with store.resume(opened.name) as again:
        assert again.session.state.safety == "covered"
        with pytest.raises(Refused):
            again.session.do(c.Answer(1, "run", "pass"))


def test_an_event_of_another_version_is_said(store):
    """Unknown kinds and fields are not guessed at."""
    opened = isolated(store)
    path = opened.folder / "journal.toml"
    chain = read(path).last_chain
    block, _ = encode({"sequence": 99, "at": "x", "since": 0.0, "kind": "teleported"}, chain)
    path.write_bytes(path.read_bytes() + block)
    with pytest.raises(JournalError, match="another version"):
        store.load(opened.name)


def test_a_session_that_is_not_there_is_said(store):
    """With the nearest name."""
    opened = isolated(store)
    with pytest.raises(UsageError, match=opened.name):
        store.resume("2026-03-02-c")


def test_a_journal_without_a_beginning_is_said(store):
    """An empty file is no session to resume."""
    opened = isolated(store)
    (opened.folder / "journal.toml").write_bytes(b"")
    with pytest.raises(JournalError, match="beginning"):
        store.load(opened.name)


def test_a_photo_is_kept_with_its_digest(store, tmp_path):
    """Copied into the session, named by what it holds."""
    opened = isolated(store)
    photo = tmp_path / "spring.jpg"
    photo.write_bytes(b"\xff\xd8 a picture")
    with store.resume(opened.name) as again:
        again.attach(photo, "left spring")
        jotting = again.session.state.jottings[-1]
    assert (jotting.text, len(jotting.sha256)) == ("left spring", 64)
    assert any(p.read_bytes() == photo.read_bytes() for p in (opened.folder / "attachments").iterdir())


@pytest.mark.parametrize(
    "field", [{"run": "1"}, {"goes": 3}, {"bar": "x"}, {"bar": [1]}, {"evidence": []}, {"odd": 1}]
)
def test_wrong_types_in_an_event_are_said(field):
    """Each field is what its type says."""
    good_one = to_dict(Recorded(1, "t", 0.0, Answered(run=1, step="a", answer="b", goes="end")))
    assert from_dict(good_one).event == Answered(run=1, step="a", answer="b", goes="end")
    with pytest.raises(JournalError, match="answered"):
        from_dict({**good_one, **field})
