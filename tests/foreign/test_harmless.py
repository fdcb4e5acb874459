"""Text made harmless: a terminal obeys nothing of it, and nothing of it is lost. Categories by unicodedata."""

import json
import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.examples import examples
from wizard.foreign.harmless import harmless, harmless_json, harmless_lines, inert

BIDI = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
"""The bidi controls of Unicode (UAX 9, table 4)."""


def obeyed(text):
    """The characters of a text that a terminal may obey, or that turn round what one reads."""
    return [c for c in text if unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") or c in BIDI]


@given(st.text(st.characters(), max_size=60))
@settings(max_examples=examples(300))
def test_nothing_is_left_that_is_obeyed(text):
    """C0, DEL, C1, halves of a letter, bidi controls, other line ends; of the last kind newlines may stay."""
    assert obeyed(harmless(text)) == []
    assert set(obeyed(harmless_lines(text))) <= {"\n"}
    assert obeyed(inert(text)) == []
    harmless(text).encode("utf-8")


@given(st.text(st.characters(), max_size=60))
@settings(max_examples=examples(300))
def test_json_keeps_every_value(text):
    """Harmless on the screen, and the same text once it is read again."""
    made = harmless_json(json.dumps({"a": [text]}, ensure_ascii=False, indent=1))
    assert set(obeyed(made)) <= {"\n"} and json.loads(made) == {"a": [text]}


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b]0;owned\x07", "\\x1b]0;owned\\x07"),
        ("\x9b2J", "\\x9b2J"),
        ("a\0b", "a\\x00b"),
        ("two\nlines", "two\\nlines"),
        ("abc\u202edef", "abc\\u202edef"),
        ("\ud800", "\\ud800"),
    ],
)
def test_it_is_seen_what_stood_there(text, shown):
    """As its code."""
    assert harmless(text) == shown


LETTERS = (
    "R. Vale",
    "größer",
    "Łódź",
    "洗衣机",
    "\u0645\u06cc\u200c\u062e\u0648",
    "👩\u200d🔧",
    "a\u00a0b",
    "É",
)


@pytest.mark.parametrize("text", LETTERS)
def test_letters_of_every_script_stay(text):
    """Joiners within words and signs too."""
    assert harmless(text) == text == harmless_lines(text)
