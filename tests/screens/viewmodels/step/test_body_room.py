"""How much room a screen's body has."""

import pytest

from wizard.screens.viewmodels.step.body_room import BodyRoom, body_room


@pytest.mark.parametrize(("width", "height", "room"), [
    (80, 24, BodyRoom(78, 17, False)),
    (109, 24, BodyRoom(107, 17, False)),
    (110, 36, BodyRoom(108, 29, True)),
    (10, 6, BodyRoom(20, 5, False)),
])  # fmt: skip
def test_a_body_has_what_the_frame_leaves(width, height, room):
    """Seven lines and two columns are the frame's; more stands beside the step from 110 columns on."""
    assert body_room(width, height) == room


def test_a_notice_takes_its_further_lines_from_the_body():
    """The first one stands on the line of the rule."""
    line = "word " * 15
    assert body_room(80, 24, line).lines == 17
    assert body_room(80, 24, line * 3).lines == 15
