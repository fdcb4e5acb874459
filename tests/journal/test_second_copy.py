"""A second copy on another medium: it follows each event, is caught up after it was gone, and stops nothing."""

from __future__ import annotations

import errno
import os
import shutil
import sys
import threading
from pathlib import Path

import pytest

from tests.helpers.jobs import HandClock
from tests.helpers.stage import StageJob
from tests.helpers.stage import stage as full_screen
from tests.helpers.terminal_program.line_stage import LineStage
from wizard.engine.messages import commands as c
from wizard.journal import second_copy
from wizard.journal.journal_reader import NAME, read
from wizard.journal.journal_writer import Journal
from wizard.journal.second_copy import SecondCopy
from wizard.sessions.copy_keeper import CopyKeeper
from wizard.sessions.session_store import Store


@pytest.fixture
def medium(tmp_path: Path) -> Path:
    """A folder on another medium."""
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


def test_each_event_is_in_the_copy_when_it_was_followed(tmp_path: Path, medium: Path) -> None:
    """The same bytes, event by event; nothing is said of what goes well."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        copy = SecondCopy(medium, journal.path)
        for number in range(3):
            journal.append({"sequence": number})
            assert copy.follow(journal.size) == ""
            assert (medium / "2026-03-02-a" / NAME).read_bytes() == journal.path.read_bytes()


def test_a_medium_that_is_gone_is_said_once_and_caught_up_when_it_is_back(
    tmp_path: Path, medium: Path
) -> None:
    """While it is gone nothing is made in its place; back, all that is missing is appended, a torn half too."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        copy = SecondCopy(medium, journal.path)
        journal.append({"sequence": 1})
        copy.follow(journal.size)
        away = medium.rename(tmp_path / "in a pocket")
        journal.append({"sequence": 2})
        assert "can't be written: the medium is gone" in copy.follow(journal.size)
        journal.append({"sequence": 3})
        assert copy.follow(journal.size) == "" and not medium.exists()
        away.rename(medium)
        there = medium / "2026-03-02-a" / NAME
        there.write_bytes(journal.path.read_bytes()[: len(there.read_bytes()) + 9])
        assert copy.follow(journal.size) == f"The second copy in {medium} is there again, and caught up."
        assert there.read_bytes() == journal.path.read_bytes() and len(read(there).events) == 3


@pytest.mark.parametrize("how", ["other", "longer", "altered"])
def test_what_is_not_what_the_journal_begins_with_is_not_touched(
    tmp_path: Path, medium: Path, how: str
) -> None:
    """Another session's bytes, more than there is, a letter changed: said once, and left as it lies."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        journal.append({"sequence": 1, "text": "a"})
        ours = journal.path.read_bytes()
        held = {"other": b"mine", "longer": ours + b"more", "altered": ours.replace(b'"a"', b'"b"')}[how]
        there = medium / "2026-03-02-a" / NAME
        there.parent.mkdir()
        there.write_bytes(held)
        copy = SecondCopy(medium, journal.path)
        assert "holds something else than this session, and is not touched" in copy.follow(journal.size)
        journal.append({"sequence": 2})
        assert copy.follow(journal.size) == "" and there.read_bytes() == held


def test_a_full_medium_stops_nothing(tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half an event may be in the copy then; it is completed when there is room."""

    def half(descriptor: int, data: bytes) -> None:
        os.write(descriptor, bytes(data)[:11])
        raise OSError(errno.ENOSPC, "No space left on device")

    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        copy = SecondCopy(medium, journal.path)
        journal.append({"sequence": 1})
        with monkeypatch.context() as full:
            full.setattr(second_copy, "write_all", half)
            assert "the disk is full" in copy.follow(journal.size)
        journal.append({"sequence": 2})
        assert "caught up" in copy.follow(journal.size)
        assert (medium / "2026-03-02-a" / NAME).read_bytes() == journal.path.read_bytes()


def shop(home: Path, text: str) -> None:
    """The shop's file of a home."""
    home.mkdir(exist_ok=True)
    (home / "shop.toml").write_text(text, encoding="utf-8")


def settled(stage: LineStage) -> str:
    """Wait for the copy, and a beat longer; what was said then."""
    assert stage.job.opened.copying.settled(10.0)
    return stage.type(silent=1)


class HungMedium:
    """A medium that takes nothing and refuses nothing, until it is let go."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.reached, self._free, self._real = threading.Event(), threading.Event(), second_copy.write_all
        monkeypatch.setattr(second_copy, "write_all", self)

    def __call__(self, descriptor: int, data: bytes) -> None:
        """Write, once it answers."""
        self.reached.set()
        assert self._free.wait(60)
        self._real(descriptor, data)

    def answer(self) -> None:
        """It takes what it was given, and all from now on."""
        self._free.set()


def test_a_medium_that_hangs_holds_up_no_key(
    tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Answers are taken and on the disk while its write blocks, which waited for it; that the copy is behind is said
    once, whether keys are pressed or not; once it answers all of it is caught up, and that is said.
    """
    shop(tmp_path / "home", f'second_copy = "{medium.as_posix()}"\n')
    hung = HungMedium(monkeypatch)
    stage = LineStage(tmp_path / "home")
    journal, there = stage.job.opened.journal.path, medium / stage.job.opened.name / NAME
    assert hung.reached.wait(10)
    text = stage.type("n", "While it hangs", "n", "And on")
    assert b"And on" in journal.read_bytes() and there.read_bytes() == b""
    assert text.count("doesn't answer. The job goes on without it") == 1
    assert "second copy" not in stage.type(silent=2) + stage.type("n", "Still")
    hung.answer()
    assert "is there again, and caught up" in settled(stage)
    assert there.read_bytes() == journal.read_bytes()


def test_a_medium_that_hangs_holds_up_no_end(
    tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The session is let go of at once where the copy is late already; the next one brings it up."""
    shop(tmp_path / "home", f'second_copy = "{medium.as_posix()}"\n')
    with monkeypatch.context() as broken:
        hung = HungMedium(broken)
        stage = LineStage(tmp_path / "home")
        assert hung.reached.wait(10)
        stage.clock.move(60.0)
        waited: list[float] = []
        keeper, settled_of = stage.job.opened.copying, CopyKeeper.settled
        broken.setattr(CopyKeeper, "settled", lambda self, seconds: waited.append(seconds) or False)
        stage.job.opened.close()
        assert waited == [] and not settled_of(keeper, 0.0)
    hung.answer()
    with stage.store.resume(stage.job.opened.name) as opened:
        assert opened.copying.settled(10.0)
        whole = opened.journal.path.read_bytes()
    assert (medium / stage.job.opened.name / NAME).read_bytes() == whole


async def test_the_full_screen_says_that_the_copy_is_behind(
    tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On its message line, while nobody is at the keys."""
    home = tmp_path / "home"
    shop(home, f'second_copy = "{medium.as_posix()}"\n')
    hung = HungMedium(monkeypatch)
    async with full_screen(home) as on:
        assert hung.reached.wait(10)
        on.clock.move(10.0)
        on.app.host.lapses.beat()
        await on.settle()
        assert "The second copy is behind: " in " ".join(on.part("#message").split())
        hung.answer()
        assert on.job.opened.copying.settled(10.0)
        on.app.host.lapses.beat()
        await on.settle()
        assert "is there again, and caught up" in " ".join(on.part("#message").split())


@pytest.mark.parametrize("whole", [True, False], ids=["whole", "half"])
def test_the_copy_holds_nothing_that_does_not_stand_for_good(
    tmp_path: Path, medium: Path, whole: bool
) -> None:
    """What a full disk took of an event is taken away again: a copy of it would be another journal's."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        copy = SecondCopy(medium, journal.path)
        journal.append({"sequence": 1})
        stands = journal.path.read_bytes()
        with journal.path.open("ab") as torn:
            torn.write(b"[[event]]\nseq" if not whole else b"")
        assert copy.follow(journal.size) == ""
        assert (medium / "2026-03-02-a" / NAME).read_bytes() == stands


@pytest.mark.skipif(sys.platform == "win32", reason="an open folder can't be moved there")
def test_a_job_keeps_its_copy_and_says_what_becomes_of_it(tmp_path: Path, medium: Path) -> None:
    """Named in shop.toml: the copy is the journal, byte for byte; gone and back are said in the job, which goes on."""
    shop(tmp_path / "home", f'second_copy = "{medium.as_posix()}"\n')
    stage = LineStage(tmp_path / "home")
    there = medium / stage.job.opened.name / NAME
    settled(stage)
    assert there.read_bytes() == stage.job.opened.journal.path.read_bytes()
    away = medium.rename(tmp_path / "pocket")
    stage.type("n", "The stick is out")
    assert "The job goes on without it" in settled(stage)
    assert stage.job.state.notes[-1].text == "The stick is out"
    assert "second copy" not in stage.type("n", "Still out") + settled(stage)
    away.rename(medium)
    stage.type("n", "In again")
    assert "is there again, and caught up" in settled(stage)
    assert there.read_bytes() == stage.job.opened.journal.path.read_bytes()


def test_a_session_that_is_taken_up_brings_its_copy_up(tmp_path: Path, medium: Path) -> None:
    """What was done before there was a medium is in the copy as soon as the job is taken up; the copy alone is enough
    to read it all.
    """
    clock, home = HandClock(), tmp_path / "home"
    store = Store(home, clock, lambda _digest: True)
    job = StageJob(store, clock)
    job.do(c.AddNote("Before"))
    job.opened.close()
    shop(home, f'second_copy = "{medium.as_posix()}"\n')
    with store.resume(job.opened.name) as opened:
        whole = opened.journal.path.read_bytes()
        assert opened.copying.settled(10.0) and opened.copied() == ()
    assert (medium / job.opened.name / NAME).read_bytes() == whole
    shutil.copy(medium / job.opened.name / NAME, store.home.session_folder(job.opened.name) / NAME)
    assert store.load(job.opened.name).state.notes[-1].text == "Before"


def test_a_mistake_in_the_shop_s_file_stops_no_job(tmp_path: Path) -> None:
    """It is said as the job is opened: which key, and what to write."""
    shop(tmp_path / "home", 'second_cpoy = "x"\n')
    stage = LineStage(tmp_path / "home")
    text = stage.type()
    assert "No second copy is kept." in text and "Did you mean second_copy?" in text


def watched_reads(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many bytes each read of a descriptor asks for."""
    asked: list[int] = []
    real = os.read

    def reads(descriptor: int, count: int) -> bytes:
        asked.append(count)
        return real(descriptor, count)

    monkeypatch.setattr(second_copy.os, "read", reads)
    return asked


def test_a_copy_that_is_far_too_long_is_not_read(
    tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sparse file of 3 GB: its length says that it is none of ours."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        journal.append({"sequence": 1})
        there = medium / "2026-03-02-a" / NAME
        there.parent.mkdir()
        with there.open("wb") as file:
            file.truncate(3_000_000_000)
        asked = watched_reads(monkeypatch)
        assert "holds something else" in SecondCopy(medium, journal.path).follow(journal.size)
        assert asked == [] and there.stat().st_size == 3_000_000_000


def test_a_copy_is_compared_no_further_than_it_differs(
    tmp_path: Path, medium: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A piece at a time, never more than the journal has."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        for number in range(40):
            journal.append({"sequence": number, "text": "x" * 90_000})
        there = medium / "2026-03-02-a" / NAME
        there.parent.mkdir()
        there.write_bytes(b"y" + journal.path.read_bytes()[1:])
        asked = watched_reads(monkeypatch)
        assert "holds something else" in SecondCopy(medium, journal.path).follow(journal.size)
        assert asked == [1_000_000]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such files")
@pytest.mark.parametrize("what", ["link", "device", "folder-link", "pipe"])
def test_a_copy_that_is_no_plain_file_is_not_followed(tmp_path: Path, medium: Path, what: str) -> None:
    """A link to a file or to a device without an end, a folder that is a link, a pipe: said, and never waited for."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        journal.append({"sequence": 1})
        other = tmp_path / "other"
        there = medium / "2026-03-02-a" / NAME
        if what == "folder-link":
            other.mkdir()
            there.parent.symlink_to(other)
        else:
            there.parent.mkdir()
        if what == "link":
            other.write_bytes(b"")
            there.symlink_to(other)
        elif what == "device":
            there.symlink_to("/dev/zero")
        elif what == "pipe":
            os.mkfifo(there)
        assert SecondCopy(medium, journal.path).follow(journal.size)
        assert not other.exists() or (
            not list(other.iterdir()) if other.is_dir() else other.read_bytes() == b""
        )
