"""What is said of a text that isn't TOML: where it breaks, and how to mend it.

Each text is refused by TOML 1.0 (toml.io, the sections that are named); that it is, the parser itself says here.
"""

from __future__ import annotations

import sys

import pytest
import tomli

from wizard.flow.parsing.source_reader import read

LONG = "9" * (sys.get_int_max_str_digits() + 1)
BROKEN = (
    ("String", 'id = "x\nb = 1\n', 1, 8, "Put its closing quote back"),
    ("String", "b = 1\nid = 'x\n", 2, 1, "Put its closing quote back"),
    ("String", 'b = 1\nid = """x\n\nc = 2\n', 2, 1, "Put three quotes at its end"),
    ("String", 'id = "\\q"\n', 1, 9, "a backslash in a text is written twice"),
    ("String", 'id = "x\x01"\n', 1, 8, "Take it out"),
    ("Key/Value Pair", "id\n", 1, 3, "an equals sign and a value"),
    ("Key/Value Pair", "id = 1,5\n", 1, 7, "A decimal has a point"),
    ("Key/Value Pair", "id = x\n", 1, 6, "a text in quotes"),
    ("Keys", "id = 1\nid = 2\n", 2, 7, "Take one of them out"),
    ("Table", "[id\n", 1, 4, "the bracket that closes this head"),
    ("Array of Tables", "[[id]\n", 1, 5, "the brackets that close this head"),
    ("Array", "id = [1 2]\n", 1, 9, "a comma or ] is missing"),
    ("Inline Table", "id={b=1\n}\n", 1, 8, "a comma or } is missing"),
    ("Integer", f"b = 1\nid = {LONG}\nc = 1\n", 2, 6, "a number of more than"),
)


@pytest.mark.parametrize(("text", "line", "column", "words"), [row[1:] for row in BROKEN])
def test_a_broken_text_is_told_with_its_place_and_its_mend(text, line, column, words):
    with pytest.raises(ValueError, match=r"."):
        tomli.loads(text)
    (problem, *_) = read({"inspections/one.toml": text.encode()}).problems
    assert (problem.file, problem.line, problem.column) == ("inspections/one.toml", line, column)
    assert words in problem.text and "sys." not in problem.text and "Illegal" not in problem.text
