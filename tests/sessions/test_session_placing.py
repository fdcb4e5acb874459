"""A session whose name is here already: the same, one that went on, an older one, another one. No event is lost."""

import shutil

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from tests.helpers.stored_sessions import SESSION, home_at, import_, store_at
from tests.helpers.wandering_jobs import Watched
from wizard.engine.messages import commands as c
from wizard.errors import JournalBusy, JournalLost
from wizard.journal.journal_reader import parse
from wizard.journal.journal_writer import Journal
from wizard.sessions import session_placing, sign_off
from wizard.sessions.session_placing import ImportOutcome
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export


def journal_of(store, session=SESSION):
    return store.home.session_folder(session) / "journal.toml"


def cut_to(store, count):
    """A store's journal with its first events alone."""
    path = journal_of(store)
    parts = path.read_bytes().split(b"[[event]]\n")
    path.write_bytes(b"[[event]]\n".join(parts[: count + 1]))


def forked(tmp_path, name, note, count=6):
    """A home with the stored session cut off after some events, and gone on with a note of its own."""
    store = home_at(tmp_path / name)
    cut_to(store, count)
    for paper in journal_of(store).parent.glob("*.md"):
        paper.unlink()
    with store.resume(SESSION) as opened:
        opened.session.do(c.AddNote(note))
    return store


def test_a_job_that_went_on_is_brought_up(here, there, tmp_path, zipped):
    """The shorter one is a byte prefix of the longer: that is taken, whole, and verifies; then it is the same."""
    shorter = home_at(tmp_path / "shorter")
    cut_to(shorter, 9)
    for paper in journal_of(shorter).parent.glob("*.md"):
        paper.unlink()
    import_(there, export(shorter, SESSION, tmp_path / "shorter.zip"))
    sign_off.add_note(
        journal_of(there).parent, sign_off.ReviewNote("M. Holt", "2026-03-03T09:00:00Z", "Call back.")
    )
    done = import_(there, zipped)
    assert done.outcome is ImportOutcome.GROWN and done.session == SESSION and not done.new
    assert journal_of(there).read_bytes() == journal_of(here).read_bytes()
    assert verified(there, SESSION).ok
    assert [n.text for n in sign_off.load(journal_of(there).parent).notes] == ["Call back."]
    assert import_(there, zipped).outcome is ImportOutcome.SAME
    older = import_(there, tmp_path / "shorter.zip")
    assert older.outcome is ImportOutcome.OLDER and older.added == ()
    assert journal_of(there).read_bytes() == journal_of(here).read_bytes()


def test_papers_of_the_shorter_one_make_way(there, here, tmp_path, zipped):
    """A paper that was written before the job went on is the journal's again after it."""
    import_(there, zipped)
    with here.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
    paper = next(journal_of(here).parent.glob("HANDOVER*.md"))
    paper.write_bytes(paper.read_bytes() + b"changed\n")
    done = import_(there, export(here, SESSION, tmp_path / "again.zip"))
    assert done.outcome is ImportOutcome.GROWN and paper.name in done.added
    assert (journal_of(there).parent / paper.name).read_bytes() == paper.read_bytes()


def test_a_write_that_was_cut_off_is_no_other_journal(there, here, tmp_path):
    """A laptop that lost power sent what it had, then went on: the torn bytes are kept aside, the rest is taken."""
    cut_to(here, 9)
    whole = journal_of(here).read_bytes()
    journal_of(here).write_bytes(whole + b"[[event]]\nkind = ")
    import_(there, export(here, SESSION, tmp_path / "torn.zip"))
    assert journal_of(there).read_bytes().endswith(b"kind = ")
    journal_of(here).write_bytes(whole)
    with here.resume(SESSION) as opened:
        opened.session.do(c.AddNote("Power is back."))
    done = import_(there, export(here, SESSION, tmp_path / "on.zip"))
    assert done.outcome is ImportOutcome.GROWN
    assert journal_of(there).read_bytes() == journal_of(here).read_bytes()
    torn = (journal_of(there).parent / "torn-1.toml").read_bytes()
    assert torn == b"[[event]]\nkind = "
    assert import_(there, tmp_path / "torn.zip").outcome is ImportOutcome.OLDER


def test_two_that_part_are_kept_side_by_side_and_it_is_said(there, tmp_path):
    """Both verify under the names that they have; a second import finds each, and one that goes on is brought up."""
    first, second = forked(tmp_path, "one", "Left it running."), forked(tmp_path, "two", "Switched it off.")
    one, two = export(first, SESSION, tmp_path / "one.zip"), export(second, SESSION, tmp_path / "two.zip")
    assert import_(there, one).outcome is ImportOutcome.NEW
    done = import_(there, two)
    parting = parse(journal_of(second).read_bytes(), tmp_path).chains
    common = len(set(parting) & set(parse(journal_of(first).read_bytes(), tmp_path).chains))
    assert done.outcome is ImportOutcome.BESIDE and done.session == f"{SESSION}-{parting[common][:8]}"
    assert f"part at event {common + 1}" in done.notes[0] and SESSION in done.notes[0]
    assert journal_of(there).read_bytes() == journal_of(first).read_bytes()
    assert journal_of(there, done.session).read_bytes() == journal_of(second).read_bytes()
    assert verified(there, SESSION).ok and verified(there, done.session).ok
    again = import_(there, two)
    assert (again.outcome, again.session, again.added) == (ImportOutcome.SAME, done.session, ())
    with second.resume(SESSION) as opened:
        opened.session.do(c.AddNote("It still drips."))
    grown = import_(there, export(second, SESSION, tmp_path / "more.zip"))
    assert (grown.outcome, grown.session) == (ImportOutcome.GROWN, done.session)
    assert len(there.home.list_ids()) == 2


def test_one_kept_beside_travels_under_its_own_name(there, tmp_path):
    """Sent on from the shop, the second of two is the session that it was."""
    first, second = forked(tmp_path, "one", "A."), forked(tmp_path, "two", "B.")
    import_(there, export(first, SESSION, tmp_path / "one.zip"))
    beside = import_(there, export(second, SESSION, tmp_path / "two.zip"))
    elsewhere = store_at(tmp_path / "elsewhere")
    done = import_(elsewhere, export(there, beside.session, tmp_path / "sent-on.zip"))
    assert (done.session, done.outcome) == (SESSION, ImportOutcome.NEW)
    assert verified(elsewhere, SESSION).ok


def test_two_laptops_with_an_old_name_meet(there, zipped):
    """Two technicians may both have a 2026-03-02-a from before names had marks."""
    opened = Watched(there.root, {"serial": "Y9"}).opened
    opened.close()
    assert opened.name == SESSION
    done = import_(there, zipped)
    assert done.outcome is ImportOutcome.BESIDE and "part at event 1" in done.notes[0]
    assert verified(there, done.session).ok and verified(there, SESSION).ok


@given(st.lists(st.integers(0, 4), min_size=1, max_size=8))
@settings(
    max_examples=examples(10), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_in_any_order_every_event_is_kept(tmp_path_factory, order):
    """Five parcels of one name, two lines of it at two lengths and the common start, in any order and repeated: each
    journal that came is a prefix of one that is here, and all that are here verify.
    """
    root, sent = tmp_path_factory.mktemp("order"), _parcels(tmp_path_factory)
    store = store_at(root)
    for number in order:
        import_(store, sent[number][0])
    kept = [journal_of(store, name).read_bytes() for name in store.home.list_ids()]
    for number in order:
        assert any(one.startswith(sent[number][1]) for one in kept)
    assert all(verified(store, name).ok for name in store.home.list_ids())
    assert len(kept) <= 2
    shutil.rmtree(root)


_MADE: list = []


def _parcels(factory):
    """The common start of a job; two ways in which it went on, a note each, and each a note longer."""
    if _MADE:
        return _MADE
    root = factory.mktemp("parcels")
    start = home_at(root / "start")
    cut_to(start, 6)
    for paper in journal_of(start).parent.glob("*.md"):
        paper.unlink()
    _MADE.append(_sent(start, root, "start"))
    for name in ("A", "B"):
        store = forked(root, name, f"{name} goes on.")
        _MADE.append(_sent(store, root, f"{name}1"))
        with store.resume(SESSION) as opened:
            opened.session.do(c.AddNote(f"{name} goes on further."))
        _MADE.append(_sent(store, root, f"{name}2"))
    return _MADE


def _sent(store, root, name):
    return export(store, SESSION, root / f"{name}.zip"), journal_of(store).read_bytes()


def test_a_session_at_work_is_not_written_over(there, here, tmp_path, zipped):
    """While a program has the journal open, what came is refused, and nothing changes."""
    cut_to(here, 9)
    import_(there, export(here, SESSION, tmp_path / "short.zip"))
    before = journal_of(there).read_bytes()
    with Journal.open(journal_of(there).parent), pytest.raises(JournalBusy):
        import_(there, zipped)
    assert journal_of(there).read_bytes() == before
    assert import_(there, zipped).outcome is ImportOutcome.GROWN


def test_a_disk_that_refuses_half_way_is_finished_by_the_next_import(
    there, here, tmp_path, zipped, monkeypatch
):
    """The journal is put last: until then the shorter one is here, and everything is done again."""
    cut_to(here, 9)
    import_(there, export(here, SESSION, tmp_path / "short.zip"))
    before = journal_of(there).read_bytes()

    def refuse(path, _data):
        raise OSError(28, "full", str(path))

    with monkeypatch.context() as broken:
        broken.setattr(session_placing, "put", refuse)
        with pytest.raises(JournalLost, match="disk is full"):
            import_(there, zipped)
    assert journal_of(there).read_bytes() == before
    assert import_(there, zipped).outcome is ImportOutcome.GROWN
    assert verified(there, SESSION).ok
