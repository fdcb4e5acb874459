"""The one table of keys."""

from collections import Counter

import pytest
from textual.binding import Binding

from tests.helpers.aid_jobs import FEET, at_pull, unjudged, with_pull
from tests.helpers.stage import stage
from wizard.screens.launch import screen_registry
from wizard.screens.layout import key_table
from wizard.screens.widgets.frame.keybar import key_line


def test_every_key_has_a_label_and_a_sentence():
    """Footer and help have words for each."""
    for key in key_table.KEYS.values():
        assert key.label and key.help.endswith(".") and key.letter and key.function


def test_no_control_keys():
    """Terminals and multiplexers take them."""
    assert not [k.id for k in key_table.KEYS.values() if "ctrl" in k.keys or "alt" in k.keys]


def own_classes(cls):
    """The classes of ours whose bindings a screen has."""
    for base in cls.__mro__:
        if base.__module__.startswith("wizard"):
            yield base
        if not getattr(base, "_inherit_bindings", True):
            return


@pytest.mark.parametrize(
    "where", sorted({*screen_registry.SCREENS.values(), *screen_registry.PANELS.values()})
)
def test_no_key_means_two_things_on_one_screen(where):
    """On each screen every key leads to one command."""
    rows = [b for c in own_classes(screen_registry.find(where)) for b in c.__dict__.get("BINDINGS", ())]
    meant = {(key.key, key.action) for key in Binding.make_bindings(rows)}
    doubled = [key for key, n in Counter(key for key, _action in meant).items() if n > 1]
    assert not doubled


def test_digits_are_nine_bindings_each_with_its_number():
    """Digit 4 gives 4."""
    found = {b.key: b.action for b in key_table.bindings("digits")}
    assert found == {str(n): f"digit({n})" for n in range(1, 10)}


def test_shows_letters_or_function_keys_and_which_digits_work():
    """With a field under the hands only function keys work."""
    assert key_table.labels(["undo", "digits:3", "digits:2"]) == [
        ("u", "undo"),
        ("1-3", "answer"),
        ("1 or 2", "answer"),
    ]
    assert key_table.labels(["undo"], typing=True) == [("F3", "undo")]


@pytest.mark.parametrize(("digits", "words"), [
    ("1", "1"), ("12", "1 or 2"), ("13", "1 or 3"), ("135", "1, 3 or 5"), ("1234", "1-4"), ("1239", "1-3 or 9"),
    ("129", "1, 2 or 9"), ("12356", "1-3, 5 or 6"),
])  # fmt: skip
def test_digits_that_work_are_said_in_few_words(digits, words):
    """A run of three or more by its ends, the others each."""
    assert key_table.span(digits) == words


@pytest.mark.parametrize(("count", "stands_for"), [
    ("1", "1"), ("2", "12"), ("3", "123"), ("1,2", "12"), ("1,3,5", "135"), ("9", "123456789"),
])  # fmt: skip
def test_what_a_count_of_digits_stands_for(count, stands_for):
    """The digits from 1 on; a list is itself; the foot and the refusal say the same."""
    assert "".join(key_table.numbers(count)) == stands_for
    ((shown, _label),) = key_table.labels([f"digits:{count}"])
    assert key_table.wrong_digit(8, ["undo", f"digits:{count}"]) == f"There is no 8 here: press {shown}."


def test_where_no_digit_answers_enter_does():
    """A step that tells."""
    assert key_table.wrong_digit(4, ["done", "undo"]) == "There is no 4 here: press Enter."
    assert key_table.labels(["tick:1,2,3"]) == [("1-3 Space", "tick")]


@pytest.mark.parametrize("typing", [False, True])
def test_the_keys_of_every_screen_fit_eighty_columns(typing):
    """All but the last are seen at the foot of the smallest screen, and that one too while no field has the keys."""
    line = str(key_line(key_table.labels(key_table.JOB, typing), 78, False))
    assert len(line) <= 78 and "F12 leave" in line and ("light" in line) == (not typing)
    here = str(
        key_line(key_table.labels(["digits:6", "go", "undo", "unable", "picture", "stop"], typing), 78, True)
    )
    assert "STOP WORK" in here


def test_a_key_that_does_not_fit_is_left_out_whole():
    """No half of a label."""
    assert str(key_line([("a", "one"), ("b", "two")], 7, False)) == "a one"


@pytest.mark.parametrize("width", range(11, 40))
def test_stopping_work_is_never_left_out(width):
    """However many keys a screen has, the last of its first line stays: others go before it."""
    pairs = [("Enter", "go on"), ("u", "undo"), ("x", "can't"), ("s", "STOP WORK")]
    line = str(key_line(pairs, width, True))
    assert line.endswith("s STOP WORK") and len(line) <= width


async def test_a_reading_with_every_key_still_has_stop(tmp_path):
    """A step with a picture, other units, one more and a drawing: more keys than 80 columns hold."""
    flow = with_pull(unjudged("mm", 0.05, FEET, "feet"), do="Push each corner. " * 12)
    async with stage(tmp_path, prepare=at_pull, flow=flow) as s:
        for _ in FEET:
            await s.type("1")
        assert "+ one more" in s.text and s.text.splitlines()[-2].endswith("s STOP WORK")
