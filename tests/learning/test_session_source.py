"""Sessions read from disk: verified, and what is forged, of another flow or not closed left out and named."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.helpers.learned_home import JOBS, learned_home
from tests.helpers.stored_sessions import store_at
from tests.helpers.wandering_jobs import Watched
from wizard.archive.archive_index import ArchiveIndex
from wizard.archive.archive_rows import vouched
from wizard.archive.bringing_up import bring_up
from wizard.engine.messages.events import Answered, Recorded, to_dict
from wizard.errors import UsageError
from wizard.journal.journal_reader import NAME
from wizard.journal.journal_writer import Journal
from wizard.learning import session_source
from wizard.learning.observation import LeftOut, Observation, WhyLeftOut
from wizard.learning.proved_faults import ProvedFaults
from wizard.learning.session_memory import SessionMemory
from wizard.learning.session_source import SessionPlace, observations, places, read_one


def known(_digest: str) -> bool:
    """The small flow's check has tests of its own."""
    return True


def told(
    home: Path, *named: str, flow: str = "good", processes: int = 1
) -> tuple[list[Observation], list[LeftOut]]:
    said, left = observations(flow, places(home, named), processes, known)
    return list(said), list(left)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return learned_home(tmp_path / "home")


def ids(home: Path) -> list[str]:
    return [one.session for one in places(home, ())]


def rewritten(home: Path, session: str) -> None:
    """The journal written anew under seals that hold, one answer's evidence turned round."""
    records = list(store_at(home).load(session).records)
    place = next(n for n, r in enumerate(records) if isinstance(r.event, Answered) and r.event.evidence)
    event = records[place].event
    assert isinstance(event, Answered)
    turned = {f: 1.0 - e for f, e in event.evidence.items()}
    records[place] = Recorded(
        records[place].seq, records[place].at, records[place].since,
        replace(event, evidence=turned), records[place].asked,
    )  # fmt: skip
    folder = home / "sessions" / session
    (folder / NAME).unlink()
    journal = Journal.create(folder)
    for record in records:
        journal.append(to_dict(record))
    journal.close()


def test_every_proved_session_speaks(home: Path) -> None:
    """Nine jobs of worn dampers, oldest first; how many are done is said."""
    steps: list[tuple[int, int]] = []
    flow = store_at(home).load(ids(home)[0]).flow.id
    said, left = observations(flow, places(home, ()), 1, known, lambda n, of: steps.append((n, of)))
    assert not left and [one.session for one in said] == ids(home) == sorted(ids(home))
    assert all(
        one.faults == ProvedFaults(("dampers-worn",)) and one.either["pull-weak"] > 0.9 for one in said
    )
    assert steps == [(n, JOBS) for n in range(1, JOBS + 1)]


def test_two_processes_say_the_same_as_one(home: Path) -> None:
    """In the same order."""
    flow = store_at(home).load(ids(home)[0]).flow.id
    assert told(home, flow=flow, processes=2) == told(home, flow=flow)


def test_a_forged_session_is_left_out_and_named(home: Path) -> None:
    """Its seals hold, but the rules would not have written that evidence; a byte changed breaks a seal."""
    flow, (first, second, *_) = store_at(home).load(ids(home)[0]).flow.id, ids(home)
    rewritten(home, first)
    journal = home / "sessions" / second / NAME
    journal.write_bytes(journal.read_bytes().replace(b"It bangs", b"It hangs"))
    said, left = told(home, flow=flow)
    assert len(said) == JOBS - 2
    assert [(one.session, one.why) for one in left] == [
        (first, WhyLeftOut.FORGED), (second, WhyLeftOut.UNREADABLE),
    ]  # fmt: skip
    assert "evidence" in left[0].says and "seal" in left[1].says


def test_a_paper_that_was_changed_is_enough(home: Path) -> None:
    """Who changed the customer's paper may have changed more."""
    session = ids(home)[0]
    flow = store_at(home).load(session).flow.id
    paper = next(p for p in (home / "sessions" / session).rglob("*") if p.suffix in (".txt", ".md"))
    paper.write_bytes(paper.read_bytes().replace(b"e", b"a", 1))
    _, left = told(home, session, flow=flow)
    assert [one.why for one in left] == [WhyLeftOut.FORGED] and paper.name in left[0].says


def test_other_flows_and_open_jobs_are_left_out(home: Path) -> None:
    """Named with the flow that they are of."""
    _, left = told(home, flow="another")
    assert {one.why for one in left} == {WhyLeftOut.OTHER_FLOW} and len(left) == JOBS
    job = Watched(home)
    job.opened.close()
    said, left = told(home, job.opened.name, flow=job.flow.id)
    assert not said and [one.why for one in left] == [WhyLeftOut.NOT_CLOSED]


def test_sessions_and_other_homes_are_named(home: Path, tmp_path: Path) -> None:
    """An id, a folder, each once; what is neither is refused."""
    first = ids(home)[0]
    other = learned_home(tmp_path / "van")
    assert [p.session for p in places(home, (first, first))] == [first]
    assert len(places(home, (str(other), first))) == JOBS + 1
    assert places(tmp_path / "empty", ()) == ()
    for wrong in ("2026-01-01-zzz", "nowhere"):
        with pytest.raises(UsageError):
            places(home, (wrong,))


def test_what_was_verified_is_remembered_while_no_byte_changes(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The second time nothing is read; one that changes is, and so is all for another version or a broken file."""
    flow, memory = store_at(home).load(ids(home)[0]).flow.id, SessionMemory(home / "observed.json", "1")
    first = ids(home)[0]
    rewritten(home, first)

    def again(of: SessionMemory) -> tuple[object, list[str]]:
        read: list[str] = []
        monkeypatch.setattr(
            session_source, "read_one", lambda f, k, p, s: (read.append(p.session), read_one(f, k, p, s))[1]
        )
        return observations(flow, places(home, ()), 1, known, None, of), read

    said, read = again(memory)
    assert read == ids(home) and again(memory) == (said, [])
    assert said == observations(flow, places(home, ()), 1, known)
    assert [one.minutes for one in said[0]] == [one.minutes for one in again(memory)[0][0]]  # type: ignore[index]
    paper = next(p for p in (home / "sessions" / ids(home)[1]).rglob("*") if p.suffix in (".txt", ".md"))
    paper.write_bytes(paper.read_bytes() + b" ")
    changed, read = again(memory)
    assert read == [ids(home)[1]] and len(changed[1]) == 2  # type: ignore[index]
    assert again(SessionMemory(memory.path, "2"))[1] == ids(home)
    memory.path.write_bytes(b'{"program": "1", "sessions": {"x": 3}}')
    assert again(memory)[1] == ids(home)


def test_what_is_broken_off_is_gone_on_with(home: Path, tmp_path: Path) -> None:
    """Ended in the middle, as by Ctrl-C: what was read by then is remembered, and not read again."""
    flow, memory = store_at(home).load(ids(home)[0]).flow.id, SessionMemory(tmp_path / "observed.json", "1")

    def enough(done: int, _of: int) -> None:
        if done == 4:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        observations(flow, places(home, ()), 1, known, enough, memory)
    assert len(memory.load()) == 4
    counted: list[int] = []
    whole = observations(flow, places(home, ()), 1, known, lambda done, _of: counted.append(done), memory)
    assert counted == list(range(5, JOBS + 1))
    assert whole == observations(flow, places(home, ()), 1, known)


def test_what_the_archive_verified_is_not_verified_again(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only while no byte of the folder changed: one that was rewritten since is verified, and left out."""
    flow, verified = store_at(home).load(ids(home)[0]).flow.id, list[str]()
    true = session_source.verified
    monkeypatch.setattr(
        session_source, "verified", lambda store, name: (verified.append(name), true(store, name))[1]
    )
    whole = observations(flow, places(home, ()), 1, known)
    assert len(verified) == JOBS
    with ArchiveIndex.open(home) as index:
        bring_up(index, store_at(home), processes=1)
        with index.begin() as db:
            digests = {SessionPlace(home, name): digest for name, digest in vouched(db).items()}
    assert len(digests) == JOBS
    verified.clear()
    assert observations(flow, places(home, ()), 1, known, vouched=digests) == whole and verified == []
    forged = ids(home)[3]
    rewritten(home, forged)
    said, left = observations(flow, places(home, ()), 1, known, vouched=digests)
    assert verified == [forged] and [one.session for one in left] == [forged] and len(said) == JOBS - 1
