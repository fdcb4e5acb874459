"""The moment that a reviewer looks for, by keys: a list of jumps, words, a photo; what was done is in sight."""

import os
import stat
import sys

import pytest

from tests.helpers.stage import SIZES
from tests.screens.replay.test_replay_screen import home, viewing
from wizard.engine.messages import events as ev
from wizard.platform import system_viewer
from wizard.platform.system_viewer import VIEWER, show_file
from wizard.review.jumps import Jump, jump_places
from wizard.screens.replay.replay_cursor import MOMENTS, STRIDES

__all__ = ["home"]


def row_of(jump):
    """Keys to the row of a kind in the list."""
    number = next(n for n, stride in enumerate((*MOMENTS, *STRIDES)) if stride.jump is jump)
    return ["down"] * number


@pytest.mark.parametrize("size", SIZES)
async def test_what_was_done_is_in_sight_at_every_event(home, size):
    """Its first line and the words of the event, whatever stood on the screen; a long one is whole below."""
    async with viewing(home, size) as v:
        replay = v.app.session.replay
        for place in range(1, len(replay) + 1, 3):
            v.screen.keys.go(place)
            await v.settle()
            frame = v.screen.cursor.frame
            shown = " ".join(v.text.split())
            assert "What was done, " in shown, place
            assert " ".join(frame.says.split()[:6]) in shown, (place, frame.says)
            assert f"{replay.zone.words}" in v.text.splitlines()[1], "the time is labelled"


async def test_the_list_goes_to_the_next_of_a_kind_and_the_arrows_go_on(home):
    """From the start to the first fail, on with Right; behind the last one the first is gone to, and that is said."""
    async with viewing(home) as v:
        replay = v.app.session.replay
        fails = jump_places(replay, Jump.NOT_PASSED)
        assert len(fails) > 1
        await v.press("m")
        assert "fail or watch" in v.text and f"{len(fails)}" in v.text
        await v.press("enter")
        assert v.place == fails[0]
        await v.press("right")
        assert v.place == fails[1]
        await v.press("m", *row_of(Jump.DECISION), "enter")
        (decision,) = jump_places(replay, Jump.DECISION)
        assert v.place == decision
        await v.press("m", *row_of(Jump.DECISION), "enter")
        assert v.place == decision and "There is no further decision" in v.text
        await v.press("m", *row_of(Jump.PHOTO), "enter")
        assert v.place == decision and "There is no photo in this session." in v.text


async def test_words_are_gone_to_one_after_the_other(home):
    """How many there are is said; what isn't there moves nothing."""
    async with viewing(home) as v:
        await v.press("slash", *"dampers", "enter")
        first, found = v.place, v.screen.cursor.found
        assert first == found[0] and f"1 of {len(found)} with 'dampers'" in v.text
        await v.press("right")
        assert v.place == found[1]
        await v.press("left", "slash", *"zeppelin", "enter")
        assert v.place == first and "No event has 'zeppelin'." in v.text


async def test_a_photo_is_handed_to_the_viewer_of_the_system(home, monkeypatch):
    """The file that the journal names; at another event it is said where to find one."""
    store, name = home
    with store.resume(name) as opened:
        photo = store.root / "p.jpg"
        photo.write_bytes(b"\xff\xd8\xff\xe0 a picture")
        from wizard.engine.messages import commands as c

        opened.session.do(c.BeginVisit("R. Vale", "T-2"))
        opened.attach(photo, "The plug")
    handed = []
    monkeypatch.setattr(
        "wizard.screens.replay.reviewed_session.show_file", lambda path: handed.append(path) or ""
    )
    async with viewing(home) as v:
        await v.press("p")
        assert not handed and "no photo at this event" in v.text
        await v.press("m", *row_of(Jump.PHOTO), "enter")
        event = v.screen.cursor.frame.record.event
        assert isinstance(event, ev.PhotoTaken)
        await v.press("p")
        assert [path.name for path in handed] == [event.name] and "handed to the system's viewer" in v.text
        handed[0].write_bytes(b"\xff\xd8 another")
        await v.press("p")
        assert len(handed) == 1 and "was altered" in " ".join(v.text.split())


@pytest.mark.skipif(sys.platform == "win32", reason="Windows opens files itself")
def test_another_program_can_be_named_and_gets_the_path(tmp_path, monkeypatch):
    """One that isn't there is said, with where the file lies."""
    program, seen = tmp_path / "viewer", tmp_path / "seen"
    os.mkfifo(seen)
    program.write_text(f'#!/bin/sh\nprintf %s "$1" > "{seen}"\n', encoding="utf-8")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv(VIEWER, str(program))
    assert show_file(tmp_path / "p.jpg") == ""
    assert seen.read_text(encoding="utf-8") == str(tmp_path / "p.jpg")
    monkeypatch.setenv(VIEWER, str(tmp_path / "none"))
    assert str(tmp_path / "p.jpg") in show_file(tmp_path / "p.jpg")
    monkeypatch.delenv(VIEWER)
    monkeypatch.setattr(system_viewer.shutil, "which", lambda _name: None)
    assert "viewer of pictures" in show_file(tmp_path / "p.jpg")
