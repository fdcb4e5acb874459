"""A session sent to another machine: it replays there, twice is once, and what could do harm is refused."""

import io
import shutil
import stat
import tomllib
import tracemalloc
import zipfile
from hashlib import sha256

import pytest
import tomli_w
from hypothesis import HealthCheck, given, settings

from tests.helpers.flows.examples import examples
from tests.helpers.stored_sessions import SESSION, flow_files, import_, store_at
from tests.helpers.wandering_jobs import Watched, moves, wander
from wizard.domain.vocabulary import JobState
from wizard.engine.messages import commands as c
from wizard.errors import FlowError, JournalError, JournalLost, SteadfootError, UsageError
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source, Unreadable
from wizard.journal.earlier_session import NAME as BEGUN
from wizard.journal.journal_reader import parse
from wizard.journal.sealed_block import START, encode
from wizard.review.replay import Replay
from wizard.sessions import archive_format, parcel_reader, sign_off
from wizard.sessions.archive_format import MANIFEST
from wizard.sessions.session_placing import ImportOutcome
from wizard.sessions.session_verification import verified
from wizard.sessions.transfer import export


def tree(root):
    """Every file below a folder with its bytes; locks left out, and what a home alone knows."""
    return {
        p.relative_to(root).as_posix(): p.read_bytes()
        for p in root.rglob("*")
        if p.is_file() and p.suffix != ".lock" and p.name != BEGUN
    }


def test_session_replays_on_another_machine(here, there, zipped):
    """All of its files are there, and every state is the same."""
    done = import_(there, zipped)
    assert done.new and done.session == SESSION
    assert tree(there.root) == tree(here.root)
    mine, theirs = here.load(SESSION), there.load(SESSION)
    a, b = Replay(mine.flow, mine.records), Replay(theirs.flow, theirs.records)
    assert [a.state(p) for p in range(len(a) + 1)] == [b.state(p) for p in range(len(b) + 1)]
    assert verified(there, SESSION, mine.chain).ok


@given(moves)
@settings(
    max_examples=examples(15), deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_live_resumed_replayed_and_imported_are_one(tmp_path_factory, made):
    """For random jobs the state after every event is the same live, from disk, resumed, and exported and imported."""
    root = tmp_path_factory.mktemp("job")
    job = Watched(root / "here")
    wander(job, made)
    live = job.states
    job.opened.close()
    name, store = job.opened.name, job.store
    path = export(store, name, root / "sent.zip")
    away = store_at(root / "there")
    import_(away, path)
    with store.resume(name) as opened:
        resumed = opened.session.state
    for one in (store, away):
        loaded = one.load(name)
        replay = Replay(loaded.flow, loaded.records)
        assert [replay.state(p) for p in range(len(live))] == live
    # Resuming added at most that less is known of the machine, decided from the very same state.
    assert resumed == store.load(name).state and resumed.seq >= live[-1].seq
    latches = {c: job.flow.conditions[c].latch for c in resumed.belief}
    sure = {c for c, b in resumed.belief.items() if len(b.values) == 1 and not b.values & latches[c]}
    assert not sure or resumed.job is not JobState.WORKING


def test_export_makes_the_same_bytes_each_time(here, zipped, tmp_path):
    """So that a parcel can be compared; a second export over it is no error."""
    again = export(here, SESSION, tmp_path / "again.zip")
    assert again.read_bytes() == zipped.read_bytes()
    assert export(here, SESSION, zipped) == zipped


def test_imported_session_exports_to_the_same_bytes(there, zipped, tmp_path):
    import_(there, zipped)
    assert export(there, SESSION, tmp_path / "back.zip").read_bytes() == zipped.read_bytes()


def test_target_may_be_a_folder(here, tmp_path):
    assert export(here, SESSION, tmp_path).name == f"{SESSION}.zip"


def test_target_with_something_else_in_it_is_kept(here, tmp_path):
    (tmp_path / "x.zip").write_bytes(b"mine")
    with pytest.raises(UsageError, match="something else by that name"):
        export(here, SESSION, tmp_path / "x.zip")
    assert (tmp_path / "x.zip").read_bytes() == b"mine"


def test_export_of_no_session_is_refused(here, tmp_path):
    with pytest.raises(UsageError, match="There is no session"):
        export(here, "2026-03-02-z", tmp_path)


def test_a_damaged_photo_is_not_sent_and_a_damaged_journal_is_taken_in_nowhere(here, tmp_path):
    """A damaged photo would be refused over there; better to hear of it here. A journal that its disk damaged is sent
    as it lies, for whoever examines it, and is not taken in.
    """
    folder = here.home.session_folder(SESSION)
    photo = next((folder / "attachments").iterdir())
    photo.write_bytes(b"another")
    with pytest.raises(JournalError, match="it was altered"):
        export(here, SESSION, tmp_path)
    photo.unlink()
    assert export(here, SESSION, tmp_path).is_file()
    (folder / "journal.toml").write_bytes(
        (folder / "journal.toml").read_bytes().replace(b"R. Vale", b"R. Dale")
    )
    sent = export(here, SESSION, tmp_path / "other.zip")
    with zipfile.ZipFile(sent) as parcel:
        assert b"R. Dale" in parcel.read("session/journal.toml")
    other = store_at(tmp_path / "elsewhere")
    with pytest.raises(JournalError, match="its seal does not fit"):
        import_(other, sent)
    assert not other.home.list_ids()


@pytest.mark.parametrize(("limit", "most"), [("LARGEST_FILE", 1_000), ("LARGEST", 3_000), ("MOST_FILES", 3)])
def test_session_that_nobody_would_take_in_is_not_sent(here, tmp_path, monkeypatch, limit, most):
    """What is refused over there is refused here, with what to do."""
    monkeypatch.setattr(archive_format, limit, most)
    with pytest.raises(UsageError, match="is too large to send"):
        export(here, SESSION, tmp_path / "sent.zip")
    assert not (tmp_path / "sent.zip").exists()


def test_review_travels_and_strange_files_do_not(here, there, tmp_path):
    """The reviewer's file goes along; what no session has stays."""
    folder = here.home.session_folder(SESSION)
    sign_off.add_note(folder, sign_off.ReviewNote("A. Reed", "", "Looked at."))
    (folder / "private.txt").write_text("x", encoding="utf-8")
    (folder / "link.md").symlink_to(folder / "private.txt")
    done = import_(there, export(here, SESSION, tmp_path))
    assert sign_off.load(done.folder).notes[0].text == "Looked at."
    assert not (done.folder / "private.txt").exists() and not (done.folder / "link.md").exists()


def test_torn_end_travels_as_it_is(here, there, tmp_path):
    """A write that was cut off is set aside when the session is taken up, there as here."""
    journal = here.home.session_folder(SESSION) / "journal.toml"
    journal.write_bytes(journal.read_bytes() + b"[[event]]\nsequ")
    import_(there, export(here, SESSION, tmp_path))
    assert there.load(SESSION).torn == len(b"[[event]]\nsequ")


# ---- twice is once


def test_second_import_changes_nothing(there, zipped):
    import_(there, zipped)
    before = tree(there.root)
    done = import_(there, zipped)
    assert not done.new and done.added == () and done.notes == ()
    assert tree(there.root) == before


def test_import_brings_back_a_file_that_is_missing(there, zipped):
    """A lost photo comes back from the parcel."""
    folder = import_(there, zipped).folder
    photo = next((folder / "attachments").iterdir())
    photo.unlink()
    done = import_(there, zipped)
    assert done.added == (f"attachments/{photo.name}",) and photo.is_file()


def test_reviews_of_both_are_put_together(here, there, zipped, tmp_path):
    """Two reviewers wrote: each row of both is there once, and a second import adds nothing."""
    folder = import_(there, zipped).folder
    sign_off.add_note(folder, sign_off.ReviewNote("B. Moss", "2026-03-04T08:00:00Z", "Mine."))
    sign_off.add_note(
        here.home.session_folder(SESSION), sign_off.ReviewNote("A. Reed", "2026-03-03T08:00:00Z", "Theirs.")
    )
    second = export(here, SESSION, tmp_path / "second.zip")
    done = import_(there, second)
    assert done.added == ("review.toml",) and done.notes == ()
    assert [note.text for note in sign_off.load(folder).notes] == ["Theirs.", "Mine."]
    assert import_(there, second).added == ()


def test_a_review_that_can_not_be_read_is_left_as_it_is(here, there, zipped, tmp_path):
    """It is no reason to refuse the session; that it differs is said."""
    folder = import_(there, zipped).folder
    (folder / sign_off.NAME).write_text("[[", encoding="utf-8")
    sign_off.add_note(here.home.session_folder(SESSION), sign_off.ReviewNote("A. Reed", "", "Theirs."))
    done = import_(there, export(here, SESSION, tmp_path / "second.zip"))
    assert done.notes == ("review.toml here differs from the one that came; yours was kept.",)
    assert (folder / sign_off.NAME).read_text(encoding="utf-8") == "[["


def test_a_review_comes_with_an_older_journal(here, there, zipped, tmp_path):
    """The technician's job went on since it was sent: what the reviewer wrote reaches it all the same."""
    folder = import_(there, zipped).folder
    sign_off.add_note(folder, sign_off.ReviewNote("A. Reed", "", "Call the customer."))
    back = export(there, SESSION, tmp_path / "back.zip")
    with here.resume(SESSION) as opened:
        opened.session.do(c.BeginVisit("S. Ash", "T-2"))
    done = import_(here, back)
    assert done.outcome is ImportOutcome.OLDER and done.added == ("review.toml",)
    assert sign_off.load(here.home.session_folder(SESSION)).notes[0].text == "Call the customer."


# ---- what could do harm


def refused(there, data, tmp_path, says, error=JournalError):
    """Import these bytes: refused in words that name the zip, and nothing is written."""
    path = tmp_path / "hostile.zip"
    path.write_bytes(data)
    with pytest.raises(error) as caught:
        import_(there, path)
    assert says in str(caught.value), str(caught.value)
    assert "hostile.zip" in str(caught.value) or error is FlowError
    assert tree(there.root) == {}
    assert [p for p in tmp_path.iterdir() if p.name not in ("here", "sent.zip", "hostile.zip")] == []


def contents(path):
    with zipfile.ZipFile(path) as archive:
        return {i.filename: archive.read(i) for i in archive.infolist()}


def rezip(files, manifest=True, extra=()):
    """A zip of these files; the list is made anew for them unless told not to."""
    files = dict(files)
    if manifest:
        table = tomllib.loads(files[MANIFEST].decode())
        table["file"] = [
            {"name": n, "size": len(d), "sha256": sha256(d).hexdigest()}
            for n, d in files.items()
            if n != MANIFEST
        ]
        files[MANIFEST] = tomli_w.dumps(table).encode()
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in files.items():
            archive.writestr(name, data)
        for entry, data in extra:
            archive.writestr(entry, data)
    return made.getvalue()


def test_zip_made_again_by_hand_is_taken(there, zipped, tmp_path):
    """The helper of these tests makes sound parcels: what follows is refused for its harm alone."""
    path = tmp_path / "again.zip"
    path.write_bytes(rezip(contents(zipped)))
    assert import_(there, path).new


@pytest.mark.parametrize(
    "name",
    [
        "../evil.toml",
        "session/../../evil.toml",
        "/etc/evil.toml",
        "session/attachments/../../../evil",
        "flow/../flow.toml",
        "flow/inspections/../../x.toml",
        "C:/evil.toml",
        "session\\..\\evil.toml",
        "session/journal.toml/x",
        "session/journal.lock",
        "session/evil.sh",
        "session/.hidden.md",
        "flow/evil.py",
        "flow/inspections/..toml",
        "extra.toml",
        "session/",
        "session/attachments/",
        "session/HAND\nOVER.md",
        "flow/inspections/./x.toml",
        "flow/inspections//x.toml",
        "flow//inspections/x.toml",
        "flow/./flow.toml",
        "flow/inspections/x.toml/",
        "flow/inspections/CON.toml",
        "flow/inspections/nul/x.toml",
        "flow/inspections/lpt1.x.toml",
        "flow/inspections/com\u00b2.toml",
        "flow/inspections/x./y.toml",
        f"flow/inspections/{'x' * 300}.toml",
        "flow/inspections/" + "\u00e9" * 130 + ".toml",
    ],
)
def test_name_that_no_session_has_is_refused(there, zipped, tmp_path, name):
    """Path escapes, absolute names, drives, backslashes, folders, and whatever else is not of a session."""
    refused(there, rezip({**contents(zipped), name: b"x"}), tmp_path, "no part of a session")


def test_link_is_refused(there, zipped, tmp_path):
    """A symbolic link named like a paper."""
    entry = zipfile.ZipInfo("session/NOTES.md")
    entry.create_system = 3
    entry.external_attr = (stat.S_IFLNK | 0o777) << 16
    refused(there, rezip(contents(zipped), extra=[(entry, "/etc/passwd")]), tmp_path, "is a link")


@pytest.mark.filterwarnings("ignore:Duplicate name")
@pytest.mark.parametrize("name", ["session/journal.toml", "session/HANDOVER.md"])
def test_name_that_is_there_twice_is_refused(there, zipped, tmp_path, name):
    refused(there, rezip(contents(zipped), extra=[(name, b"x")]), tmp_path, "twice")


def test_names_that_differ_by_capitals_only_are_refused(there, zipped, tmp_path):
    """One file on many a disk."""
    files = {**contents(zipped), "flow/limits.toml": b"x", "flow/inspections/DAMPERS.toml": b"x"}
    refused(there, rezip(files), tmp_path, "twice")


def test_too_many_files_are_refused(there, zipped, tmp_path, monkeypatch):
    most = len(contents(zipped)) - 1
    monkeypatch.setattr(archive_format, "MOST_FILES", most)
    refused(there, zipped.read_bytes(), tmp_path, f"a session has at most {most}")


def test_bomb_is_refused_by_what_it_says(there, zipped, tmp_path, monkeypatch):
    monkeypatch.setattr(archive_format, "LARGEST", 30_000)
    bomb = {**contents(zipped), "session/BOMB.md": b"\0" * 40_000}
    refused(there, rezip(bomb), tmp_path, "unpacked it would be over")


def test_bomb_that_lies_about_its_size_is_refused(there, zipped, tmp_path):
    """The list of the zip says 10 bytes; a hundred thousand come out."""
    data = rezip({**contents(zipped), "session/BOMB.md": b"\0" * 100_000})
    lie = data.replace((100_000).to_bytes(4, "little"), (10).to_bytes(4, "little"))
    assert lie != data
    refused(there, lie, tmp_path, "no parcel of a session")


def test_file_too_large_is_refused_while_it_unpacks(there, zipped, tmp_path, monkeypatch):
    monkeypatch.setattr(archive_format, "LARGEST_FILE", 60_000)
    bomb = {**contents(zipped), "session/BOMB.md": b"\0" * 90_000}
    refused(there, rezip(bomb), tmp_path, "session/BOMB.md in it is too large")


def test_zip_over_the_limit_is_not_even_read(there, zipped, tmp_path, monkeypatch):
    monkeypatch.setitem(SOURCE_LIMITS, Source.PARCEL, Limits(100))
    refused(there, zipped.read_bytes(), tmp_path, "so this is no parcel")


@pytest.mark.parametrize("name", ["session/journal.toml", "session/HANDOVER.md", "flow/flow.toml"])
def test_content_other_than_listed_is_refused(there, zipped, tmp_path, name):
    files = contents(zipped)
    files[name] += b"\n"
    refused(there, rezip(files, manifest=False), tmp_path, f"{name} in it is not what the list")


def test_file_not_listed_or_listed_and_not_there_is_refused(there, zipped, tmp_path):
    files = contents(zipped)
    refused(there, rezip({**files, "session/MORE.md": b"x"}, manifest=False), tmp_path, "not on the list")
    del files["session/HANDOVER.md"]
    refused(there, rezip(files, manifest=False), tmp_path, "is on the list parcel.toml, but not in it")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (None, "it has no list parcel.toml"),
        (b"\xff", "can't be read"),
        (b"[[", "can't be read"),
        (b"x = 1\n", "not of format 1"),
        (b"file = []\n[parcel]\nformat = 2\n", "not of format 1"),
        (b"file = []\n[parcel]\nformat = 1\n", "names no session"),
        (
            b'file = [1]\n[parcel]\nformat = 1\nsession = "a"\nflow = "b"\nchain = "c"\n',
            "names no file, size",
        ),
    ],
)
def test_list_that_is_none_is_refused(there, zipped, tmp_path, text, says):
    files = contents(zipped)
    del files[MANIFEST]
    if text is not None:
        files[MANIFEST] = text
    refused(there, rezip(files, manifest=False), tmp_path, says)


def altered(zipped, old, new, name="session/journal.toml"):
    files = contents(zipped)
    assert old in files[name]
    return {**files, name: files[name].replace(old, new, 1)}


def test_chain_that_does_not_hold_is_refused(there, zipped, tmp_path):
    """An altered answer, with a list that was made again for it."""
    files = altered(zipped, b"R. Vale", b"R. Dale")
    refused(there, rezip(files), tmp_path, "its seal does not fit", JournalError)


def resealed(zipped, change):
    """The parcel with other events, every seal and the list made again."""
    files = contents(zipped)
    chain, parts = START, []
    for event in change([dict(e) for e in parse(files["session/journal.toml"], zipped).events]):
        block, chain = encode(event, chain)
        parts.append(block)
    files["session/journal.toml"] = b"".join(parts)
    table = tomllib.loads(files[MANIFEST].decode())
    table["parcel"]["chain"] = chain
    files[MANIFEST] = tomli_w.dumps(table).encode()
    return rezip(files)


def test_session_named_otherwise_inside_is_refused(there, zipped, tmp_path):
    """The list says one session, the journal another."""

    def change(events):
        return [{**events[0], "session": "2026-03-02-b"}, *events[1:]]

    refused(there, resealed(zipped, change), tmp_path, "tell of different sessions")


@pytest.mark.parametrize("name", ["../../x", "x", "2026-03-02-a/../b", ""])
def test_session_whose_id_is_none_is_refused(there, zipped, tmp_path, name):
    """An id that would be a path."""
    table = tomllib.loads(contents(zipped)[MANIFEST].decode())
    table["parcel"]["session"] = name
    files = {**contents(zipped), MANIFEST: tomli_w.dumps(table).encode()}
    path = tmp_path / "hostile.zip"
    path.write_bytes(rezip(files))
    with pytest.raises(JournalError, match="is no session"):
        import_(there, path)
    assert tree(there.root) == {}


def test_events_that_do_not_fold_are_refused(there, zipped, tmp_path):
    """A well-sealed journal that speaks of a run that never began."""

    def change(events):
        last = events[-1]["sequence"] + 1
        bad = {
            "sequence": last,
            "at": events[-1]["at"],
            "since": 0.0,
            "kind": "left",
            "run": 99,
            "how": "done",
        }
        return [*events, bad]

    path = tmp_path / "hostile.zip"
    path.write_bytes(resealed(zipped, change))
    with pytest.raises(JournalError, match="speaks of run 99"):
        import_(there, path)
    assert tree(there.root) == {}


def test_journal_without_a_beginning_is_refused(there, zipped, tmp_path):
    refused(there, resealed(zipped, lambda events: events[1:]), tmp_path, "it has no beginning", JournalError)


def test_parcel_without_a_journal_is_refused(there, zipped, tmp_path):
    files = contents(zipped)
    del files["session/journal.toml"]
    refused(there, rezip(files), tmp_path, "it holds no journal")


@pytest.mark.parametrize("harm", ["other", "missing", "case"])
def test_flow_that_is_not_the_journals_is_refused(there, zipped, tmp_path, harm):
    """Altered, incomplete, or with a case among its files."""
    files = contents(zipped)
    if harm == "other":
        files = altered(zipped, b"Press the tub", b"Pull the tub", "flow/inspections/dampers.toml")
    elif harm == "missing":
        del files["flow/inspections/dampers.toml"]
    else:
        files["flow/cases/x.toml"] = b""
    says = "no part of a session" if harm == "case" else "the flow in it is not the one"
    refused(there, rezip(files), tmp_path, says)


def test_flow_that_is_not_sound_is_refused(zipped, tmp_path):
    """A flow made unsound, its digest written into the journal, every seal and the list made again."""
    from wizard.flow.parsing.flow_files import digest
    from wizard.sessions.session_store import Store

    files = altered(zipped, b'reach = "inside"', b'reach = "insid"', "flow/inspections/dampers.toml")
    flow = {n.removeprefix("flow/"): d for n, d in files.items() if n.startswith("flow/")}
    wrong = digest(flow)
    (tmp_path / "sent.zip").write_bytes(rezip(files))

    def change(events):
        return [{**events[0], "digest": wrong}, *events[1:]]

    data = resealed(zipped, change)
    table = tomllib.loads(contents(io.BytesIO(data))[MANIFEST].decode())
    table["parcel"]["flow"] = wrong
    again = {**contents(io.BytesIO(data)), MANIFEST: tomli_w.dumps(table).encode()}
    strict = Store(tmp_path / "there", store_at(tmp_path).clock)
    refused(strict, rezip(again), tmp_path, "insid", FlowError)


def test_photo_that_is_not_the_journals_is_refused(there, zipped, tmp_path):
    """Another picture under the name of the one that was taken."""
    files = contents(zipped)
    name = next(n for n in files if "attachments" in n)
    refused(there, rezip({**files, name: b"another"}), tmp_path, "is not the file that it is named for")


def test_review_that_is_none_is_refused(there, zipped, tmp_path):
    files = {**contents(zipped), "session/review.toml": b"[["}
    refused(there, rezip(files), tmp_path, "review.toml", JournalError)


@pytest.mark.parametrize("data", [b"", b"PK\x03\x04", b"no zip", b"PK\x05\x06" + b"\0" * 18])
def test_what_is_no_zip_is_refused(there, zipped, tmp_path, data):
    refused(there, data, tmp_path, "")


@pytest.mark.parametrize("which", ["missing", "folder"])
def test_source_that_is_no_file_is_refused(there, tmp_path, which):
    path = tmp_path if which == "folder" else tmp_path / "none.zip"
    with pytest.raises(UsageError, match="Name the zip"):
        import_(there, path)


def test_every_flipped_byte_is_refused_or_does_no_harm(here, zipped, tmp_path):
    """Whatever bit is turned in the zip, either it is refused in words, or just the same session comes in."""
    data = zipped.read_bytes()
    wanted = tree(here.root)
    for at in range(0, len(data), max(1, len(data) // 150)):
        there = store_at(tmp_path / "there")
        (tmp_path / "flip.zip").write_bytes(data[:at] + bytes([data[at] ^ 1 << at % 8]) + data[at + 1 :])
        try:
            import_(there, tmp_path / "flip.zip")
        except SteadfootError:
            assert tree(there.root) == {}
        else:
            assert tree(there.root) == wanted
        shutil.rmtree(there.root, ignore_errors=True)


def test_every_cut_is_refused(zipped, there, tmp_path):
    data = zipped.read_bytes()
    for at in range(0, len(data), max(1, len(data) // 60)):
        refused(there, data[:at], tmp_path, "")


def test_disk_that_refuses_leaves_no_half_session(there, zipped, monkeypatch):
    """The third file can't be written: no session appears, and the next try succeeds."""
    count = iter(range(100))
    real = parcel_reader.write_new

    def full(path, data):
        if next(count) == 2:
            raise OSError(28, "No space left on device")
        real(path, data)

    monkeypatch.setattr(parcel_reader, "write_new", full)
    with pytest.raises(JournalLost, match="the disk is full"):
        import_(there, zipped)
    assert there.home.list_ids() == () and tree(there.root) == {}
    monkeypatch.undo()
    assert import_(there, zipped).new


def test_flow_files_may_all_travel():
    """What the flow of a session consists of is what a parcel may hold."""
    from wizard.flow.loading.shipped_flows import shipped
    from wizard.flow.parsing.flow_files import belongs, read_folder

    folders = [flow_files(), *(read_folder(f) for f in shipped().values())]
    for files in folders:
        assert all(archive_format.may_hold(f"flow/{name}") for name in files if belongs(name))


def test_a_file_too_large_for_a_session_is_refused_before_anything_is_in_place(there, zipped, tmp_path):
    """A torn write of 50 MB and a byte: what may lie in a zip is what may lie beside a journal."""
    path = tmp_path / "large.zip"
    path.write_bytes(rezip({**contents(zipped), "session/torn-1.toml": bytes(50_000_001)}))
    with pytest.raises(JournalError, match=r"torn-1\.toml in it is too large: over 50 MB"):
        import_(there, path)
    assert there.home.list_ids() == () and tree(there.root) == {}


def test_what_is_said_to_be_out_is_out(there, zipped, monkeypatch):
    """Whatever can't be read of what came: it is found before the session is put in its place."""
    from wizard.sessions import session_placing

    def unreadable(_folder):
        raise JournalError("a photo that is too large")

    monkeypatch.setattr(session_placing, "travelling", unreadable)
    done = import_(there, zipped)
    assert there.home.list_ids() == (done.session,) and "journal.toml" in done.added


def test_a_large_zip_is_read_a_file_at_a_time(zipped, tmp_path):
    """Six torn writes of 20 MB: neither what names the zip nor what unpacks it holds them all."""
    path = tmp_path / "large.zip"
    torn = {f"session/torn-{n}.toml": bytes([n]) * 20_000_000 for n in range(1, 7)}
    path.write_bytes(rezip({**contents(zipped), **torn}))
    del torn
    tracemalloc.start()
    try:
        parcel_reader.digest_of(path)
        named = tracemalloc.get_traced_memory()[1]
        parcel_reader.read_parcel(path, tmp_path / "stage", lambda _digest: True)
        unpacked = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert named < 5_000_000 and unpacked < 70_000_000
    assert (tmp_path / "stage" / "session" / "torn-6.toml").stat().st_size == 20_000_000


def test_a_zip_that_is_altered_while_it_is_read_is_refused(zipped, tmp_path):
    """Each file is held to the list again as it is unpacked."""
    files = contents(zipped)
    with (tmp_path / "a.zip").open("w+b") as file:
        file.write(rezip(files))
        parcel = archive_format.unpack(file, "a.zip")
        name = next(n for n in parcel.files if n.startswith("session/attachments/"))
        sealed = rezip({**files, name: bytes(len(files[name]))}, manifest=False)
        file.seek(0)
        file.write(sealed)
        file.flush()
        with pytest.raises(Unreadable):
            dict(parcel.files)
