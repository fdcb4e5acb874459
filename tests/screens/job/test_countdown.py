"""A wait that is counted down."""

from wizard.screens.job.countdown import Countdown


def test_it_draws_while_time_is_left_and_once_more_when_it_has_run():
    """Then no more, until another wait begins."""
    left, drawn = [0.0], []
    wait = Countdown(lambda: left[0], lambda: drawn.append(left[0]), lambda: True)
    for seconds in (0.0, 2.0, 1.0, 0.0, 0.0):
        left[0] = seconds
        wait.tick()
    assert drawn == [2.0, 1.0, 0.0]


def test_what_was_drawn_in_the_last_second_of_a_wait_is_drawn_once_more():
    """'Until then nothing is taken here' must not stay on the screen once it is not so."""
    left, drawn = [0.4], []
    wait = Countdown(lambda: left[0], lambda: drawn.append(left[0]), lambda: True)
    wait.drawn()
    left[0] = 0.0
    wait.tick()
    assert drawn == [0.0]


def test_nothing_is_drawn_while_something_lies_over_it():
    """What ran meanwhile is drawn once it is seen again."""
    left, seen, drawn = [2.0], [True], []
    wait = Countdown(lambda: left[0], lambda: drawn.append(left[0]), lambda: seen[0])
    wait.tick()
    seen[0], left[0] = False, 0.0
    wait.tick()
    assert drawn == [2.0]
    seen[0] = True
    wait.tick()
    assert drawn == [2.0, 0.0]
