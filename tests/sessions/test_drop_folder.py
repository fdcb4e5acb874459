"""A shop's drop folder: all that lies in it comes in once, and what is wrong with one keeps no other out."""

import errno
import io
import shutil
import zipfile

import pytest

from tests.helpers.stored_sessions import SESSION, home_at, store_at
from tests.helpers.wandering_jobs import Watched
from wizard.errors import SteadfootError, UsageError
from wizard.journal import session_name
from wizard.sessions import parcel_reader
from wizard.sessions.drop_folder import import_many, parcels
from wizard.sessions.import_memory import NAME, ImportMemory
from wizard.sessions.parcel_reader import read_parcel
from wizard.sessions.session_placing import ImportOutcome
from wizard.sessions.transfer import export


@pytest.fixture
def drop(tmp_path, monkeypatch):
    """A folder with two laptops' sessions of one day and letter, one below, beside a text."""
    folder = tmp_path / "drop"
    (folder / "van-2").mkdir(parents=True)
    export(home_at(tmp_path / "van-1"), SESSION, folder)
    monkeypatch.setattr(session_name, "fresh_mark", lambda: "k7m3qd")
    job = Watched(tmp_path / "van-2")
    job.opened.close()
    export(job.store, job.opened.name, folder / "van-2")
    (folder / "notes.txt").write_text("not a parcel", encoding="utf-8")
    return folder


@pytest.fixture
def there(tmp_path):
    return store_at(tmp_path / "there")


def bring(store, *sources, reads=None):
    """Bring in, parcels read in this process; ``reads`` gets each path that was read."""

    def read(source, stage):
        if reads is not None:
            reads.append(source.name)
        return read_parcel(source, stage, known=store.known)

    return list(import_many(store, sources, read))


def test_all_of_a_folder_come_in_and_end_with_their_verification(drop, there):
    """Those below it too; each is verified whole."""
    found = bring(there, drop)
    assert [one.done.outcome for one in found] == [ImportOutcome.NEW] * 2
    assert all(one.checked is not None and one.checked.ok for one in found)
    assert set(there.home.list_ids()) == {SESSION, f"{SESSION}-k7m3qd"}


def test_a_second_time_nothing_is_read(drop, there):
    """By their digests; a file that is named itself is read all the same, and one whose session went is read anew."""
    bring(there, drop)
    reads = []
    again = bring(there, drop, reads=reads)
    assert reads == [] and [one.known for one in again] == [SESSION, f"{SESSION}-k7m3qd"]
    assert [one.done.outcome for one in bring(there, drop / f"{SESSION}.zip", reads=reads)] == [
        ImportOutcome.SAME
    ]
    shutil.rmtree(there.home.session_folder(SESSION))
    found = bring(there, drop, reads=reads)
    assert found[0].done.outcome is ImportOutcome.NEW and found[1].known and reads == [f"{SESSION}.zip"] * 2


def test_one_that_is_damaged_keeps_no_other_out(drop, there):
    """It is said, and the others are here; mended, it comes in."""
    whole = (drop / f"{SESSION}.zip").read_bytes()
    (drop / f"{SESSION}.zip").write_bytes(whole[:-40])
    found = bring(there, drop)
    assert "no parcel of a session" in str(found[0].trouble) and found[1].done.outcome is ImportOutcome.NEW
    (drop / f"{SESSION}.zip").write_bytes(whole)
    assert bring(there, drop)[0].done.outcome is ImportOutcome.NEW


@pytest.mark.parametrize("said", [b"\xff\xfe\0", b"0" * 64 + b" ../../x\n", b"nothing\n" * 9, b""])
def test_a_memory_that_is_none_costs_a_reading(drop, there, said):
    """Whatever stands in the file, every parcel is read and comes in; the line that follows is a line of its own."""
    there.root.mkdir()
    (there.root / NAME).write_bytes(said)
    assert [one.done.outcome for one in bring(there, drop)] == [ImportOutcome.NEW] * 2
    assert len(ImportMemory(there.root / NAME).load()) == 2
    assert all(one.known for one in bring(there, drop))


class Pulled(io.BytesIO):
    """A file on a medium that was pulled out."""

    def read(self, *_):
        raise OSError(errno.EIO, "Input/output error")


def test_a_medium_that_is_pulled_out_in_the_midst_is_said(drop, tmp_path, monkeypatch):
    """Of a parcel's digest and of its list: a sentence with the file's name, as of one that isn't there."""
    first = sorted(drop.glob("*.zip"))[0]
    monkeypatch.setattr(parcel_reader, "open_file", lambda *_: Pulled(b"PK"))
    for reads in (parcel_reader.digest_of, lambda path: read_parcel(path, tmp_path / "stage")):
        with pytest.raises(SteadfootError) as told:
            reads(first)
        assert first.name in str(told.value) and "can't be read any more (Input/output error)" in str(
            told.value
        )


def test_what_is_named_twice_comes_in_once(drop):
    """A file and the folder that it lies in."""
    named = drop / f"{SESSION}.zip"
    assert parcels([named, drop]) == ((named, False), (drop / "van-2" / f"{SESSION}-k7m3qd.zip", True))


def test_a_folder_without_a_parcel_is_said(tmp_path):
    """Nobody waits for sessions from a folder that was mistyped."""
    (tmp_path / "empty").mkdir()
    with pytest.raises(UsageError, match="no zip of a session"):
        parcels([tmp_path / "empty"])


def test_links_in_a_folder_are_not_followed(drop, tmp_path):
    """What lies elsewhere wasn't put there."""
    (drop / "elsewhere.zip").symlink_to(tmp_path / "secret.zip")
    (tmp_path / "secret.zip").write_bytes(b"PK")
    assert [p.name for p, _ in parcels([drop])] == [f"{SESSION}.zip", f"{SESSION}-k7m3qd.zip"]


def test_the_other_process_knows_which_flows_are_sound(drop, there, monkeypatch):
    """It is told the digests that were checked here; the same session comes in by it."""
    from wizard.sessions import transfer

    told = []
    monkeypatch.setattr(
        transfer, "read_apart", lambda s, t, sound: told.append(sound) or read_parcel(s, t, there.known)
    )
    list(import_many(there, [drop]))
    assert told[0] == () and len(told[1]) == 1
    assert (there.home.kept / told[1][0]).is_dir()


@pytest.mark.parametrize("name", ["flow/inspections/./x.toml", "flow/inspections//x.toml"])
def test_a_zip_with_a_name_in_another_form_keeps_no_other_out(drop, there, name):
    """The first of the folder holds it; it is said, and the others come in."""
    with zipfile.ZipFile(drop / "0-bad.zip", "w") as made:
        good = zipfile.ZipFile(next(drop.glob("2*.zip")))
        for entry in good.infolist():
            made.writestr(entry, good.read(entry))
        made.writestr(name, b"x")
    found = bring(there, drop)
    assert [one.done is not None for one in found] == [False, True, True]
    assert "is no part of a session" in str(found[0].trouble)


def test_a_defect_met_by_one_parcel_keeps_no_other_out(drop, there, monkeypatch):
    """It is said with its kind, and its traceback goes with it."""
    from wizard.sessions import drop_folder

    real = drop_folder.import_

    def fails(store, path, read):
        if path.parent == drop:
            raise ZeroDivisionError("of ours")
        return real(store, path, read)

    monkeypatch.setattr(drop_folder, "import_", fails)
    first, second = bring(there, drop)
    assert "ZeroDivisionError" in str(first.trouble) and "of ours" in first.trouble.__notes__[0]
    assert second.done is not None and second.checked.ok


def test_what_came_in_and_can_not_be_verified_is_not_said_to_be_out(drop, there, monkeypatch):
    from wizard.cli.archive.import_command import _lines
    from wizard.errors import JournalError
    from wizard.sessions import drop_folder

    def fails(_store, _session):
        raise JournalError("gone")

    monkeypatch.setattr(drop_folder, "verified", fails)
    first, _second = bring(there, drop)
    assert first.done is not None and first.done.session in there.home.list_ids()
    says = list(_lines(first))
    assert "is here now" in says[0] and says[-1] == "  It could not be verified: gone"
