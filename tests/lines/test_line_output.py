"""What the line mode writes: wrapped, harmless, in ASCII where the stream knows no more, and never a cursor moved."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from wizard.lines.terminal.line_output import LineOutput


def written(
    *texts: str, encoding: str = "utf-8", columns: int = 80, environment: dict[str, str] | None = None
):
    """The bytes of these paragraphs, and of a prompt with the last of them."""
    raw = io.BytesIO()
    stream = io.TextIOWrapper(raw, encoding=encoding, errors="strict", write_through=True, newline="\n")
    out = LineOutput(stream, environment or {}, lambda: columns)
    for text in texts:
        out.say(text, "1: ")
    out.ask(texts[-1])
    return raw.getvalue()


def test_a_paragraph_is_wrapped_between_words_and_hangs_under_itself() -> None:
    """No line is longer than the terminal; what goes on stands under the words, not under the number."""
    lines = written("one two three four five six seven eight nine ten", columns=24).decode().splitlines()
    assert lines[:3] == ["1: one two three four", "   five six seven eight", "   nine ten"]
    assert all(len(line) <= 24 for line in lines)


@given(st.text(st.characters(codec="utf-8"), max_size=60))
def test_no_text_moves_a_cursor(text: str) -> None:
    """Whatever a file says: no byte below a space but the line end, none of C1, no sign that turns letters round."""
    raw = written(text, "end")
    assert b"\x1b" not in raw and b"\r" not in raw and b"\x07" not in raw and b"\x08" not in raw
    assert not {
        c for c in raw.decode() if (ord(c) < 32 and c != "\n") or 0x7F <= ord(c) < 0xA0 or c == "\u202e"
    }


@pytest.mark.parametrize(
    ("text", "plain"), [("1 ± 2 °C", "1 +- 2 deg C"), ("élan 雪", "?lan ?"), ("a … b", "a ... b")]
)
def test_what_an_encoding_can_t_write_is_written_in_ascii(text: str, plain: str) -> None:
    """A stream of ASCII takes it strictly; so does one of UTF-8 under the locale C, whose terminal may show no more."""
    assert plain.encode() in written(text, encoding="ascii")
    assert plain.encode() in written(text, environment={"LC_ALL": "C"})
    assert text.encode() in written(text)


def test_what_was_said_over_a_prompt_begins_a_line_of_its_own() -> None:
    """A prompt stays on its line until something is said; then it is one to write again."""
    stream = io.StringIO()
    out = LineOutput(stream, {}, lambda: 80)
    out.ask("Answer, 1 or 2")
    assert out.asking and stream.getvalue().endswith(": ")
    out.say("The wait is over.")
    assert not out.asking and stream.getvalue().splitlines()[-2:] == ["Answer, 1 or 2: ", "The wait is over."]
