"""The home folder: ids, sessions, flows kept once."""

import errno
import subprocess
import sys
import textwrap
from datetime import date
from pathlib import Path

import pytest

from wizard.errors import JournalError, JournalLost, UsageError
from wizard.journal import content_store as keeping
from wizard.journal.content_store import digest
from wizard.journal.home_folder import Home

TODAY = date(2026, 11, 25)
FILES = {"flow.toml": b"title = 'x'\n", "inspections/feet.toml": b"", "drawings/front.txt": b"\xc3\xa4"}


@pytest.fixture
def home(tmp_path: Path) -> Home:
    """A home that is not there yet."""
    return Home(tmp_path / "home")


def test_sessions_are_listed_newest_first(home: Home) -> None:
    """By day, then a..z before aa; other names are no sessions; no journal is read."""
    assert home.list_ids() == ()
    for name in ("2026-11-25-b", "2026-11-25-aa", "2026-11-24-z", "2027-01-01-a", "notes", "2026-11-25"):
        (home.sessions / name).mkdir(parents=True)
    (home.sessions / "2026-11-25-c").write_text("a file", encoding="utf-8")
    assert home.list_ids() == ("2027-01-01-a", "2026-11-25-aa", "2026-11-25-b", "2026-11-24-z")


def test_a_new_session_has_its_folder(home: Home) -> None:
    """Two in a row get two folders."""
    assert [home.new_session(TODAY), home.new_session(TODAY)] == ["2026-11-25-a", "2026-11-25-b"]
    assert home.session_folder("2026-11-25-b").is_dir()


def test_two_programs_never_share_an_id(home: Home) -> None:
    """Four processes that take ids at once get all different ones."""
    code = """
        import sys, datetime, pathlib
        from wizard.journal.home_folder import Home
        home = Home(pathlib.Path(sys.argv[1]))
        print(*(home.new_session(datetime.date(2026, 11, 25)) for _ in range(20)))
    """
    children = [
        subprocess.Popen(
            [sys.executable, "-c", textwrap.dedent(code), str(home.root)], stdout=subprocess.PIPE, text=True
        )
        for _ in range(4)
    ]
    taken = [name for child in children for name in child.communicate()[0].split()]
    assert len(taken) == len(set(taken)) == 80 == len(home.list_ids())


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "..",
        "../x",
        "2026-11-25-a/..",
        "/",
        "C:\\x",
        "2026-11-25-A",
        "2026-11-25-a\n",
        "2026-11-25-abcd",
    ],
)
def test_an_id_leads_nowhere_else(home: Home, name: str) -> None:
    """A name with a path in it is refused before any file is looked at."""
    with pytest.raises(UsageError, match="such as 2026-11-25-a-k7m3qd"):
        home.session_folder(name)


def test_the_nearest_session_is_named(home: Home) -> None:
    """A mistyped id gets a hint."""
    with pytest.raises(UsageError, match="list of sessions"):
        home.session_folder("2026-11-25-a")
    home.new_session(TODAY)
    with pytest.raises(UsageError, match=r"Did you mean 2026-11-25-a\?"):
        home.session_folder("2026-11-25-b")
    assert home.folder_for("2026-11-25-b") == home.sessions / "2026-11-25-b"


def test_a_read_only_home_is_said(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """A plain message with the way out."""

    def refuse(self: Path, **_: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(JournalLost, match=r"read-only.*--home"):
        home.new_session(TODAY)
    with pytest.raises(JournalLost, match="read-only"):
        home.keep_files(digest(FILES), FILES)


def test_a_home_that_is_a_file_is_said(tmp_path: Path) -> None:
    """--home names a file by mistake."""
    (tmp_path / "home").write_text("x", encoding="utf-8")
    with pytest.raises(JournalLost, match="make a session"):
        Home(tmp_path / "home").new_session(TODAY)


def test_a_flow_is_kept_once(home: Home) -> None:
    """Kept twice it is one folder, with just its files, and comes back the same."""
    name = digest(FILES)
    folder = home.keep_files(name, FILES)
    assert folder == home.kept / name
    before = {path: path.stat().st_mtime_ns for path in folder.rglob("*")}
    assert home.keep_files(name, FILES) == folder
    assert {path: path.stat().st_mtime_ns for path in folder.rglob("*")} == before
    assert home.kept_files(name) == FILES
    assert [path.name for path in home.kept.iterdir()] == [name]


def test_a_digest_tells_names_and_contents_apart() -> None:
    """Moving a byte from a name to a content, or between files, is another flow; the order is not."""
    sets = [{"ab": b"c"}, {"a": b"bc"}, {"a": b"b", "c": b""}, {"a": b"", "c": b"b"}, {}]
    assert len({digest(files) for files in sets}) == len(sets)
    assert digest({"a": b"1", "b": b"2"}) == digest({"b": b"2", "a": b"1"})


def test_an_altered_kept_flow_is_refused_and_written_anew(home: Home) -> None:
    """Reading it back is refused; keeping it again sets the altered one aside, nothing is dropped."""
    name = digest(FILES)
    (home.keep_files(name, FILES) / "flow.toml").write_bytes(b"title = 'y'\n")
    with pytest.raises(JournalError, match="altered"):
        home.kept_files(name)
    home.keep_files(name, FILES)
    assert home.kept_files(name) == FILES
    aside = home.kept / f"{name}-altered-1"
    assert (aside / "flow.toml").read_bytes() == b"title = 'y'\n"


def test_a_flow_that_is_not_kept(home: Home) -> None:
    """A session from another computer without its flow; and a digest that is none."""
    with pytest.raises(JournalError, match="not kept here"):
        home.kept_files("0" * 64)
    with pytest.raises(JournalError, match="no digest"):
        home.kept_files("../../etc")


@pytest.mark.parametrize(
    "name", ["../x", "/x", "a/../../x", "a\\b", "C:x", "", "a//b", "a/", ".", "a\0b", "a/./b", 'a"b', "a\nb"]
)
def test_files_stay_in_their_folder(home: Home, name: str) -> None:
    """A hostile name is refused before anything is written."""
    files = {"flow.toml": b"", name: b"x"}
    with pytest.raises(ValueError, match="leads out"):
        home.keep_files(digest(files), files)
    assert not home.root.exists()


def test_files_must_have_their_digest(home: Home) -> None:
    """A wrong digest is the caller's error."""
    with pytest.raises(ValueError, match="another digest"):
        home.keep_files("0" * 64, FILES)


def test_another_digest_may_be_handed_in(tmp_path: Path) -> None:
    """A flow is known by the digest of the files that matter to a session."""
    home = Home(tmp_path, lambda files: digest({"flow.toml": files["flow.toml"]}))
    name = digest({"flow.toml": FILES["flow.toml"]})
    home.keep_files(name, FILES)
    assert home.kept_files(name) == FILES


def test_a_full_disk_keeps_all_or_nothing(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half a flow is never found under its digest."""
    calls: list[Path] = []
    real = keeping.write_new

    def second_fails(path: Path, data: bytes) -> None:
        calls.append(path)
        if len(calls) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(path, data)

    monkeypatch.setattr(keeping, "write_new", second_fails)
    with pytest.raises(JournalLost, match="the disk is full"):
        home.keep_files(digest(FILES), FILES)
    assert list(home.kept.iterdir()) == []


def test_two_programs_keep_the_same_flow(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """The one that comes second takes what the first put there."""
    name = digest(FILES)
    real = Path.rename

    def late(self: Path, target: Path) -> Path:
        monkeypatch.undo()
        home.keep_files(name, FILES)
        return real(self, target)

    monkeypatch.setattr(Path, "rename", late)
    monkeypatch.setattr(keeping.os, "getpid", lambda: 1)
    assert home.keep_files(name, FILES) == home.kept / name
    assert home.kept_files(name) == FILES and len(list(home.kept.iterdir())) == 1


def test_the_shops_own_flows_are_apart(home: Home) -> None:
    """Kept flows and own flows can't collide."""
    folders = [home.sessions, home.kept, home.flows, home.sheets]
    assert len(set(folders)) == 4 and all(folder.parent == home.root for folder in folders)
