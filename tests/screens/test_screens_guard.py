"""The quarter second after a new question."""

from jobs import HandClock

from wizard.screens.guard import DEAF, Guard


def test_is_deaf_for_a_quarter_of_a_second_and_no_longer():
    """A key within 250 ms of the question is early, one at 250 ms is not."""
    clock = HandClock()
    guard = Guard(clock.mono)
    guard.arm()
    clock.move(DEAF - 0.001)
    assert guard.early()
    clock.move(0.001)
    assert not guard.early()


def test_hears_before_any_question_was_shown():
    """Nothing is early before the first question."""
    assert not Guard(HandClock().mono).early()


def test_is_deaf_anew_after_each_question():
    """Each question arms it again."""
    clock = HandClock()
    guard = Guard(clock.mono)
    for _ in range(3):
        guard.arm()
        assert guard.early()
        clock.move(1)
        assert not guard.early()
