"""Who is named in a record has a name with letters; a number is a slip of the key before."""

import pytest

from wizard.screens.dialogs.prompts import AskName


@pytest.mark.parametrize("text", ["7", "12 3", "-", "1.1", "..."])
def test_what_has_no_letter_is_no_name(text):
    assert AskName("Who?", "").wrong(text) == f"{text} is no name: type one with letters."


@pytest.mark.parametrize("text", ["R. Vale", "Zoë", "李", "J2", "of the shop"])
def test_a_name_in_any_letters_is_taken(text):
    assert AskName("Who?", "").wrong(text) == ""


def test_nothing_is_no_name():
    assert AskName("Who?", "").wrong("") == "Nothing is typed yet."
