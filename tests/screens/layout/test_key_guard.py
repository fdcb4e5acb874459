"""Deliberate keys: what comes too soon is dropped, and a key that is held is never taken twice."""

import pytest

from tests.helpers.stage import HandClock
from wizard.screens.layout.key_guard import DEAF, ENTER, HELD, WHOLE, Guard

FIRST_PAUSES = (0.2, 0.25, 0.33, 0.5, 0.66, 0.74)
"""Seconds until a held key is repeated, as keyboards have them (common practice: 250 to 660 ms)."""

RATE = 30.0
"""Repeats a second of a held key."""


@pytest.fixture
def clock():
    return HandClock()


@pytest.fixture
def guard(clock):
    return Guard(clock.mono)


def typed(guard, clock, text, apart=0.1):
    """Which characters of a text are taken, typed so many seconds apart."""
    taken = ""
    for character in text:
        taken += "" if guard.early(character, text=True, typing=True) else character
        clock.move(apart)
    return taken


def test_is_deaf_for_a_quarter_of_a_second_and_no_longer(clock, guard):
    """A key within 250 ms of the question is early, one at 250 ms is not."""
    guard.arm()
    clock.move(DEAF - 0.001)
    assert guard.early("1")
    guard = Guard(clock.mono)
    guard.arm()
    clock.move(DEAF)
    assert not guard.early("1")


def test_hears_before_any_question_was_shown(guard):
    """Nothing is early before the first question."""
    assert not guard.early("1")


def test_an_early_key_begins_the_quiet_anew(clock, guard):
    """Quiet is counted from the last key, not from the question."""
    guard.arm()
    for key in "123123123":
        clock.move(DEAF - 0.01)
        assert guard.early(key)
    assert guard.early("1"), "as the question changed, so a whole second is waited for"
    clock.move(WHOLE)
    assert not guard.early("1")


def test_what_was_dropped_as_the_question_changed_lets_no_digit_answer_it(clock, guard):
    """A 1 for this question was lost: the 2 that was meant for the next one doesn't answer this one."""
    clock.move(5.0)
    assert not guard.early("1")
    clock.move(0.1)
    assert guard.early("1", character="1")
    guard.arm()
    for _ in range(5):
        clock.move(0.4)
        assert guard.early("2", character="2")
    assert "wait a second" in guard.notice.lower()
    clock.move(WHOLE)
    assert not guard.early("2", character="2")


def test_the_next_number_of_one_reading_is_no_new_question(clock, guard):
    """0.6 and Enter, four times, 110 ms a key; Enter held behind it is still taken once."""
    guard.arm()
    clock.move(1.0)
    for _ in range(4):
        assert typed(guard, clock, "0.6", 0.11) == "0.6"
        assert not guard.early(ENTER, typing=True, more=True)
        guard.go_on()
        clock.move(0.11)
    assert guard.early(ENTER, typing=True, more=True)


def test_what_comes_before_the_number_was_taken_is_lost_whole_and_said(clock, guard):
    """A slow disk: what is typed then would stand behind the number before."""
    clock.move(5.0)
    assert typed(guard, clock, "0.6", 0.1) == "0.6"
    assert not guard.early(ENTER, typing=True, more=True)
    assert guard.early("0", text=True, typing=True, character="0")
    guard.go_on()
    assert typed(guard, clock, ".7", 0.1) == "" and "'0.7'" in guard.notice


def test_it_is_said_what_was_lost(clock, guard):
    guard.arm()
    assert typed(guard, clock, "0.7", 0.2) == ""
    assert "'0.7' was not taken" in guard.notice and "type it again" in guard.notice


def test_two_keys_at_once_are_one(clock, guard):
    """The second of two keys within the quarter second is dropped, though the first asked nothing new."""
    guard.arm()
    clock.move(1.0)
    assert not guard.early("9")
    clock.move(0.05)
    assert guard.early("1")


@pytest.mark.parametrize("pause", FIRST_PAUSES)
@pytest.mark.parametrize("key", ["1", ENTER, "u"])
def test_a_held_key_is_taken_once(clock, guard, key, pause):
    """Whatever the keyboard's first pause: each key that is taken brings a new question, and none follows."""
    guard.arm()
    clock.move(2.0)
    taken = 0
    for press in range(200):
        if not guard.early(key):
            taken += 1
            guard.arm()
        clock.move(pause if press == 0 else 1.0 / RATE)
    assert taken == 1


def test_the_same_key_is_heard_again_after_its_time(clock, guard):
    """Enter and Enter, when it was let go of."""
    assert not guard.early(ENTER)
    guard.arm()
    clock.move(HELD)
    assert not guard.early(ENTER)


def test_a_number_is_typed_as_quickly_as_one_types(clock, guard):
    """Once its first key was taken, the others and Enter behind them are never early."""
    guard.arm()
    clock.move(1.0)
    assert typed(guard, clock, "1188.5", 0.03) == "1188.5"
    assert not guard.early(ENTER, typing=True)


def test_a_number_begun_too_soon_is_dropped_whole(clock, guard):
    """Half of it would be another number: so typed on without a pause of a second, none of it is taken."""
    guard.arm()
    clock.move(0.1)
    assert typed(guard, clock, "188", 0.4) == ""
    clock.move(WHOLE)
    assert typed(guard, clock, "188", 0.4) == "188"


def test_enter_behind_a_dropped_number_takes_what_stands_there_only_after_its_quiet(clock, guard):
    """It is no key behind a text: none was begun."""
    guard.arm()
    assert typed(guard, clock, "18", 0.1) == ""
    assert guard.early(ENTER, typing=True)


def test_what_is_typed_right_behind_enter_is_dropped(clock, guard):
    """Enter may bring another question: its number is typed after a quarter second."""
    guard.arm()
    clock.move(1.0)
    assert typed(guard, clock, "18") == "18"
    assert not guard.early(ENTER, typing=True)
    assert typed(guard, clock, "62", 0.1) == ""


def test_a_held_enter_behind_a_number_is_taken_once(clock, guard):
    """The field may be the same one still."""
    guard.arm()
    clock.move(1.0)
    assert typed(guard, clock, "18") == "18"
    assert not guard.early(ENTER, typing=True)
    clock.move(0.5)
    assert all(_early_then_wait(guard, clock, ENTER) for _ in range(60))


def _early_then_wait(guard, clock, key):
    early = guard.early(key, typing=True)
    clock.move(1.0 / RATE)
    return early


def test_a_step_is_read_from_its_first_moment_on(clock, guard):
    """Whole seconds, rounded up, and counted on while something else lies over the step."""
    guard.ask(("power", "plug"), 4.0)
    assert guard.unread == 4
    clock.move(1.5)
    guard.arm()
    guard.ask(("power", "plug"), 4.0)
    assert guard.unread == 3
    clock.move(2.5)
    assert guard.unread == 0
    guard.ask(("power", "try"), 2.0)
    assert guard.unread == 2
