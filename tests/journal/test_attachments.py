"""Photos kept with a session: named by content, whole, kept once, checked. Digests by hashlib."""

import errno
import hashlib
import os
import sys
from pathlib import Path

import pytest

from wizard.errors import JournalError, UsageError
from wizard.foreign.limits import SOURCE_LIMITS, Limits, Source
from wizard.journal import durable_io
from wizard.journal.attachments import Attachment, check, keep

PHOTO = b"\xff\xd8\xff\xe0 a plug, brown at one pin"
DIGEST = hashlib.sha256(PHOTO).hexdigest()


@pytest.fixture
def photo(tmp_path: Path) -> Path:
    """A photo from the phone."""
    path = tmp_path / "IMG 0042.JPG"
    path.write_bytes(PHOTO)
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A session's folder."""
    path = tmp_path / "session"
    path.mkdir()
    return path


def test_a_photo_is_copied_under_its_digest(folder: Path, photo: Path) -> None:
    """The copy has the name of its content and its own suffix, and is the same, byte for byte."""
    kept = keep(folder, photo)
    assert kept == Attachment(f"{DIGEST[:16]}.jpg", DIGEST, len(PHOTO))
    assert [path.name for path in (folder / "attachments").iterdir()] == [kept.name]
    assert (folder / "attachments" / kept.name).read_bytes() == PHOTO
    assert check(folder, kept.name, kept.sha256) is None
    assert photo.read_bytes() == PHOTO


def test_keeping_twice_keeps_one(folder: Path, photo: Path) -> None:
    """The same photo again is the same attachment."""
    assert keep(folder, photo) == keep(folder, photo)
    assert len(list((folder / "attachments").iterdir())) == 1


@pytest.mark.parametrize(
    ("name", "suffix"),
    [
        ("a.JPEG", ".jpeg"),
        ("none", ""),
        ("x.we!rd-ä", ".werd"),
        ("x.abcdefghijkl", ".abcdefgh"),
        ("x.tar.gz", ".gz"),
    ],
)
def test_a_name_is_safe_everywhere(folder: Path, tmp_path: Path, name: str, suffix: str) -> None:
    """Suffixes are lower-cased, short and plain."""
    source = tmp_path / name
    source.write_bytes(b"x")
    assert keep(folder, source).name == hashlib.sha256(b"x").hexdigest()[:16] + suffix


def test_an_altered_attachment_is_found(folder: Path, photo: Path) -> None:
    """A change to the copy is named, and not covered up by attaching the photo again."""
    kept = keep(folder, photo)
    copy = folder / "attachments" / kept.name
    copy.write_bytes(PHOTO + b"!")
    assert "altered" in (check(folder, kept.name, kept.sha256) or "")
    with pytest.raises(JournalError, match=r"altered.*Move that file away"):
        keep(folder, photo)
    copy.unlink()
    assert "no such file" in (check(folder, kept.name, kept.sha256) or "")


@pytest.mark.parametrize("name", ["../journal.toml", "/etc/hosts", "a/b", "", "..", "0123456789abcdef.jpg/x"])
def test_a_check_stays_in_the_folder(folder: Path, name: str) -> None:
    """A name from a hostile journal leads nowhere."""
    assert "no name that an attachment has" in (check(folder, name, DIGEST) or "")


@pytest.mark.skipif(sys.platform == "win32", reason="links need a privilege there")
def test_a_link_is_no_attachment(folder: Path, photo: Path) -> None:
    """A link to the right content may lead to other content tomorrow."""
    (folder / "attachments").mkdir()
    (folder / "attachments" / f"{DIGEST[:16]}.jpg").symlink_to(photo)
    assert "link" in (check(folder, f"{DIGEST[:16]}.jpg", DIGEST) or "")


def test_what_cannot_be_attached_is_said(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No file, a folder, too large: each with what to do."""
    with pytest.raises(UsageError, match="no such file"):
        keep(folder, tmp_path / "nowhere.jpg")
    with pytest.raises(UsageError, match="folder"):
        keep(folder, tmp_path)
    monkeypatch.setitem(SOURCE_LIMITS, Source.ATTACHMENT, Limits(2_000_000))
    large = tmp_path / "film.mov"
    large.write_bytes(b"\0" * 2_000_001)
    with pytest.raises(UsageError, match="more than 2 MB"):
        keep(folder, large)
    large.write_bytes(b"\0" * 2_000_000)
    assert keep(folder, large).size == 2_000_000


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_is_no_photo(folder: Path, tmp_path: Path) -> None:
    """Reading it would wait for ever."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(UsageError, match="no plain file"):
        keep(folder, tmp_path / "pipe")


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may read everything")
def test_a_photo_without_permission(folder: Path, photo: Path) -> None:
    """A file of another user's."""
    photo.chmod(0)
    with pytest.raises(UsageError, match="permissions"):
        keep(folder, photo)


def test_a_full_disk_leaves_no_half_photo(folder: Path, photo: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The message is plain, and nothing is left that looks like an attachment."""

    def refuse(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(durable_io, "sync", refuse)
    with pytest.raises(UsageError, match=r"was not kept: the disk is full\. The job goes on without it"):
        keep(folder, photo)
    assert list((folder / "attachments").iterdir()) == []
