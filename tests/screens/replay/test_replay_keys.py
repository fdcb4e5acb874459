"""What the keys of a replay do, without a screen."""

from types import SimpleNamespace

import pytest

from wizard.screens.replay.replay_cursor import STRIDES, ReplayCursor
from wizard.screens.replay.replay_key import ReplayKey
from wizard.screens.replay.replay_keys import ReplayKeys


class FiveEvents:
    """A replay of five events, each a stride; its events have the numbers of their places."""

    end = SimpleNamespace(seq=5)

    def __len__(self):
        return 5

    def jump(self, place, _stride, forward):
        return min(5, place + 1) if forward else max(1, place - 1)

    def place_of(self, seq):
        return seq


class ScreenHeard:
    """What a screen is told: sentences to draw, questions, and the timer."""

    def __init__(self, place=0):
        self.sentence, self.asked, self.stopped = [], [], 0
        session = SimpleNamespace(replay=FiveEvents(), reviewer="")
        self.cursor = ReplayCursor(session.replay, place)
        self.keys = ReplayKeys(session, self.cursor, self.every, self.ask, self.sentence.append)

    def every(self, _seconds, _call):
        return SimpleNamespace(stop=self.stop)

    def stop(self):
        self.stopped += 1

    def ask(self, screen, then):
        self.asked.append((type(screen).__name__, then))


def test_right_and_left_go_on_and_back_and_say_where_there_is_no_further():
    """A place before the first event, too."""
    heard = ScreenHeard(4)
    for number in (1, 1, -1):
        heard.keys.press(ReplayKey.MOVE, number)
    assert heard.cursor.place == 4 and heard.sentence == ["", "There is no further event.", ""]


@pytest.mark.parametrize(("number", "place"), [(0, 0), (1, 5)])
def test_the_ends_are_a_key_away(number, place):
    """Before the first event, and the last."""
    heard = ScreenHeard(3)
    heard.keys.press(ReplayKey.END, number)
    assert heard.cursor.place == place


def test_a_digit_chooses_by_what_and_a_wrong_one_is_said():
    """It changes nothing then."""
    heard = ScreenHeard()
    heard.keys.press(ReplayKey.STRIDE, 2)
    heard.keys.press(ReplayKey.STRIDE, 8)
    assert heard.cursor.stride == STRIDES[2]
    assert heard.sentence == ["", "There is no 9 here: press 1-7."]


def test_it_runs_until_its_end_and_halts_by_itself():
    """A key that moves halts it as well."""
    heard = ScreenHeard(4)
    heard.keys.press(ReplayKey.PLAY)
    assert heard.keys.playback.running
    heard.keys.tick()
    assert heard.cursor.place == 5 and heard.keys.playback.running
    heard.keys.tick()
    assert not heard.keys.playback.running and heard.stopped == 1
    heard.keys.press(ReplayKey.PLAY)
    heard.keys.press(ReplayKey.MOVE, -1)
    assert not heard.keys.playback.running


@pytest.mark.parametrize(
    ("text", "place", "says"), [("3", 3, ""), ("9", 1, "9 is no event of this session.")]
)
def test_an_event_is_gone_to_by_its_number(text, place, says):
    """One that isn't there is said."""
    heard = ScreenHeard(1)
    heard.keys.press(ReplayKey.EVENT)
    ((kind, then),) = heard.asked
    then(text)
    assert kind == "AskText" and heard.cursor.place == place and heard.sentence[-1] == says


def test_who_writes_a_note_is_asked_first():
    """The name stands with it."""
    heard = ScreenHeard()
    heard.keys.press(ReplayKey.REMARK)
    assert [kind for kind, _then in heard.asked] == ["AskName"]
