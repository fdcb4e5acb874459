"""A second copy on another medium: it follows each event, is caught up after it was gone, and stops nothing."""

from __future__ import annotations

import errno
import os
import shutil
import sys
from pathlib import Path

import pytest

from tests.helpers.jobs import HandClock
from tests.helpers.stage import StageJob
from tests.helpers.terminal_program.line_stage import LineStage
from wizard.engine.messages import commands as c
from wizard.journal import second_copy
from wizard.journal.journal_reader import NAME, read
from wizard.journal.journal_writer import Journal
from wizard.journal.second_copy import SecondCopy
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
            assert copy.follow() == ""
            assert (medium / "2026-03-02-a" / NAME).read_bytes() == journal.path.read_bytes()


def test_a_medium_that_is_gone_is_said_once_and_caught_up_when_it_is_back(
    tmp_path: Path, medium: Path
) -> None:
    """While it is gone nothing is made in its place; back, all that is missing is appended, a torn half too."""
    with Journal.create(tmp_path / "2026-03-02-a") as journal:
        copy = SecondCopy(medium, journal.path)
        journal.append({"sequence": 1})
        copy.follow()
        away = medium.rename(tmp_path / "in a pocket")
        journal.append({"sequence": 2})
        assert "can't be written: the medium is gone" in copy.follow()
        journal.append({"sequence": 3})
        assert copy.follow() == "" and not medium.exists()
        away.rename(medium)
        there = medium / "2026-03-02-a" / NAME
        there.write_bytes(journal.path.read_bytes()[: len(there.read_bytes()) + 9])
        assert copy.follow() == f"The second copy in {medium} is there again, and caught up."
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
        assert "holds something else than this session, and is not touched" in copy.follow()
        journal.append({"sequence": 2})
        assert copy.follow() == "" and there.read_bytes() == held


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
            assert "the disk is full" in copy.follow()
        journal.append({"sequence": 2})
        assert "caught up" in copy.follow()
        assert (medium / "2026-03-02-a" / NAME).read_bytes() == journal.path.read_bytes()


def shop(home: Path, text: str) -> None:
    """The shop's file of a home."""
    home.mkdir(exist_ok=True)
    (home / "shop.toml").write_text(text, encoding="utf-8")


@pytest.mark.skipif(sys.platform == "win32", reason="an open folder can't be moved there")
def test_a_job_keeps_its_copy_and_says_what_becomes_of_it(tmp_path: Path, medium: Path) -> None:
    """Named in shop.toml: the copy is the journal, byte for byte; gone and back are said in the job, which goes on."""
    shop(tmp_path / "home", f'second_copy = "{medium.as_posix()}"\n')
    stage = LineStage(tmp_path / "home")
    there = medium / stage.job.opened.name / NAME
    assert there.read_bytes() == stage.job.opened.journal.path.read_bytes()
    away = medium.rename(tmp_path / "pocket")
    text = stage.type("n", "The stick is out")
    assert "The job goes on without it" in text and stage.job.state.notes[-1].text == "The stick is out"
    assert "second copy" not in stage.type("n", "Still out")
    away.rename(medium)
    assert "is there again, and caught up" in stage.type("n", "In again")
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
        assert opened.copied() == ()
    assert (medium / job.opened.name / NAME).read_bytes() == whole
    shutil.copy(medium / job.opened.name / NAME, store.home.session_folder(job.opened.name) / NAME)
    assert store.load(job.opened.name).state.notes[-1].text == "Before"


def test_a_mistake_in_the_shop_s_file_stops_no_job(tmp_path: Path) -> None:
    """It is said as the job is opened: which key, and what to write."""
    shop(tmp_path / "home", 'second_cpoy = "x"\n')
    stage = LineStage(tmp_path / "home")
    text = stage.type()
    assert "No second copy is kept." in text and "Did you mean second_copy?" in text
