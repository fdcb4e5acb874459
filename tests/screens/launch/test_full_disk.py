"""A disk that fills up under the full screen: what was given is tried again, and the job goes on in place."""

from __future__ import annotations

import errno
import os

import pytest

from tests.helpers.stage import stage
from wizard.journal import journal_writer


async def test_a_full_disk_keeps_what_was_given(tmp_path, monkeypatch: pytest.MonkeyPatch):
    """A question lies over the step: tried again in vain it comes again; with room the answer is taken as it was."""

    def full(descriptor: int, data: bytes) -> None:
        os.write(descriptor, bytes(data)[:9])
        raise OSError(errno.ENOSPC, "No space left on device")

    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers")) as s:
        answered, at = len(s.job.state.answer_records), s.job.at
        with monkeypatch.context() as disk:
            disk.setattr(journal_writer, "write_all", full)
            await s.usual()
            assert "The disk is full" in s.text and s.name == "AskOne" and s.job.at == at
            await s.press("1")
            assert "The disk is full" in s.text and s.name == "AskOne"
        await s.press("1")
        assert len(s.job.state.answer_records) == answered + 1 and s.name != "AskOne"


async def test_what_is_typed_is_not_lost_by_a_full_disk(tmp_path, monkeypatch: pytest.MonkeyPatch):
    """A note of many words: tried again once there is room, it is kept as it was written."""

    def full(_descriptor: int, _data: bytes) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers")) as s:
        with monkeypatch.context() as disk:
            disk.setattr(journal_writer, "write_all", full)
            await s.press("n", *"wet", "enter")
            assert "The disk is full" in s.text and s.job.state.notes == ()
        await s.press("1")
        assert [note.text for note in s.job.state.notes] == ["wet"]


async def test_of_an_act_written_by_half_the_rest_follows_and_nothing_twice(
    tmp_path, monkeypatch: pytest.MonkeyPatch
):
    """The disk takes the first event of an answer and not the second: with room again the second is written, the
    answer stands once, and the step has moved on as if nothing had been.
    """
    real, calls = journal_writer.write_all, []

    def full_at_the_second(descriptor: int, data: bytes) -> None:
        calls.append(data)
        if len(calls) >= 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        real(descriptor, data)

    async with stage(tmp_path, prepare=lambda job: job.come_to("dampers")) as s:
        answered, at = len(s.job.state.answer_records), s.job.at
        with monkeypatch.context() as disk:
            disk.setattr(journal_writer, "write_all", full_at_the_second)
            await s.usual()
            assert "The disk is full" in s.text and s.name == "AskOne"
            assert s.job.opened.session.due, "the answer is on the disk, and what follows of it is not"
            await s.press("1")
            assert "The disk is full" in s.text and s.name == "AskOne"
        await s.press("1")
        assert not s.job.opened.session.due and s.name != "AskOne"
        assert len(s.job.state.answer_records) == answered + 1 and s.job.at != at
