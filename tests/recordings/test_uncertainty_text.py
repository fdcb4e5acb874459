"""The uncertainty behind a figure's sentence: the standard one, as behind every value of the program."""

import pytest

from wizard.domain.recording_vocabulary import FigureKind, uncertainty_text


@pytest.mark.parametrize(
    ("kind", "uncertainty", "unit", "text"),
    [
        (FigureKind.TOP_SPEED, 1.5, "rpm", "± 1.5 rpm"),
        (FigureKind.ONCE_A_TURN, 0.019, "1", "± 1.9 %"),
        (FigureKind.TWICE_A_TURN, 0.02, "1", "± 0.02"),
    ],
)
def test_it_is_in_the_unit_of_its_sentence(kind, uncertainty, unit, text):
    """A share is told in percent, so its uncertainty is."""
    assert uncertainty_text(kind, uncertainty, unit) == text
