"""Photos in a folder, sheets in a folder, a sheet typed in, and the papers of a visit."""

import hashlib
import os
import sys

import pytest

from tests.helpers.jobs import Job, good
from wizard.documents.files import paper_files
from wizard.documents.files.paper_names import PaperKind, name_for
from wizard.errors import SteadfootError, UsageError
from wizard.screens.viewmodels import photo_files
from wizard.screens.viewmodels.reading import sheet_entry

needs_rights = pytest.mark.skipif(
    sys.platform == "win32" or (hasattr(os, "geteuid") and os.geteuid() == 0),
    reason="this user may do anything",
)


def put(folder, name, when, size=10):
    path = folder / name
    path.write_bytes(b"x" * size)
    os.utime(path, (when, when))
    return path


def test_newest_photo_comes_first(tmp_path):
    """By the time it was written; other files and folders are left out."""
    put(tmp_path, "b.jpg", 100)
    put(tmp_path, "a.PNG", 200)
    put(tmp_path, "notes.txt", 300)
    (tmp_path / "folder.jpg").mkdir()
    assert [p.path.name for p in photo_files.newest(tmp_path)] == ["a.PNG", "b.jpg"]


def test_only_so_many_photos(tmp_path):
    """A full folder gives its newest."""
    for n in range(5):
        put(tmp_path, f"{n}.jpg", 100 + n)
    assert [p.path.name for p in photo_files.newest(tmp_path, 2)] == ["4.jpg", "3.jpg"]


def test_folder_that_isnt_there_says_so(tmp_path):
    """A plain sentence, no traceback."""
    with pytest.raises(UsageError, match="no such folder"):
        photo_files.newest(tmp_path / "gone")
    with pytest.raises(UsageError, match="folder that it is in"):
        photo_files.newest(put(tmp_path, "a.jpg", 1))


def drag():
    return next(li for li in good().limits["damper-drag"] if li.applies == {"dampers": ("3",)})


def test_limits_offered_are_those_of_the_machine():
    """Of two versions of a limit, the one for this machine; each says what is asked."""
    found = sheet_entry.own_limits(good(), {"kind": "front-loader", "dampers": "3"})
    assert [li.id for li in found].count("damper-drag") == 1
    assert sheet_entry.edges(drag()) == (
        "fail below (now 30 N)",
        "watch below (now 40 N)",
        "pass up to (now 80 N)",
    )


def test_typed_edges_replace_the_flows():
    """In the limit's unit or in another; an empty one keeps what it was; bands keep ids and verdicts."""
    typed = sheet_entry.from_typed(drag(), ["35", "", "20 lbf"], "Sheet 12")
    assert [b.top for b in typed.bands][:2] == [35.0, 40.0]
    assert [b.id for b in typed.bands] == [b.id for b in drag().bands]


def test_typed_edges_are_kept_as_said():
    """Source and status are the sheet's."""
    typed = sheet_entry.from_typed(drag(), ["20", "30", "20 lbf"], " Sheet 12 ")
    assert [b.top for b in typed.bands][:2] == [20.0, 30.0]
    assert typed.bands[2].top == pytest.approx(88.9644, abs=1e-3)  # 1 lbf = 4.4482216 N, NIST SP 811
    assert (typed.source, typed.status) == ("Sheet 12", "S")


@pytest.mark.parametrize(
    ("typed", "source", "says"),
    [
        (["", "", ""], "Sheet 12", "at least one"),
        (["20"], " ", "which sheet"),
        (["90"], "Sheet 12", "must rise"),
        (["x"], "Sheet 12", "x"),
        (["20 mm"], "Sheet 12", "length"),
    ],
)
def test_typed_nonsense_is_said(typed, source, says):
    """Nothing typed, no source, edges that fall, no number, a wrong unit: each says what is wrong."""
    with pytest.raises(ValueError, match=says):
        sheet_entry.from_typed(drag(), typed, source)


def test_sheet_files_by_name(tmp_path):
    """TOML files only; a folder that isn't there has none."""
    put(tmp_path, "b.toml", 1)
    put(tmp_path, "a.toml", 1)
    put(tmp_path, "a.txt", 1)
    assert [p.name for p in sheet_entry.files(tmp_path)] == ["a.toml", "b.toml"]
    assert sheet_entry.files(tmp_path / "gone") == ()


def test_papers_are_written_and_hashed(tmp_path):
    """Handover and record in the session's folder; the hash is that of the file's bytes, without the seal's line."""
    job = Job()
    written = paper_files.write(tmp_path, job.view)
    assert written.handover.name == "HANDOVER.md" and written.record.name == "RECORD.md"
    assert written.parts is None
    *lines, last = written.handover.read_bytes().splitlines(keepends=True)
    assert hashlib.sha256(b"".join(lines)).hexdigest() == written.sha256 and last.startswith(b"Seal")
    assert written.beside == {"RECORD.md": hashlib.sha256(written.record.read_bytes()).hexdigest()}
    assert b"\r" not in written.handover.read_bytes()
    assert sorted(p.name for p in tmp_path.iterdir()) == ["HANDOVER.md", "RECORD.md"]


def test_papers_of_the_same_visit_are_replaced(tmp_path):
    """Writing again leaves one file of each, as it stands now."""
    job = Job()
    before = paper_files.write(tmp_path, job.view)
    job.through("quick")
    again = paper_files.write(tmp_path, job.view)
    assert again.beside != before.beside
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize(("visit", "name"), [(1, "HANDOVER.md"), (2, "HANDOVER-2.md")])
def test_next_visit_has_papers_of_its_own(visit, name):
    """The first visit's papers are never written over."""
    assert name_for(PaperKind.HANDOVER, visit) == name


def test_papers_on_a_folder_that_is_gone(tmp_path):
    """A plain sentence that says the journal is whole."""
    job = Job()
    with pytest.raises(SteadfootError, match="The journal is whole"):
        paper_files.write(tmp_path / "gone", job.view)
