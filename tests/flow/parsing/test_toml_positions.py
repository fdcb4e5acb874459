"""Places: every key and entry that tomllib knows stands where it is said to stand, in lines and characters."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import tomli_w
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.helpers.flows.flow_folders import good
from wizard.flow.parsing.flow_files import parse
from wizard.flow.parsing.source_reader import read_one
from wizard.flow.parsing.toml_positions import Positions, locate

KEYS = st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=4)
LEAVES = st.one_of(
    st.integers(-99, 99),
    st.booleans(),
    st.text(st.characters(codec="utf-8", exclude_categories=("Cs",)), max_size=6),
)
VALUES = st.recursive(
    LEAVES,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=3),
    max_leaves=12,
)


def leaves(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], Any]]:
    """Every path with its value, tables and lists too."""
    yield path, value
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*path, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*path, index))


def at(text: str, place: tuple[int, int]) -> str:
    """The text from a place to the end of its line."""
    return text.split("\n")[place[0] - 1][place[1] - 1 :]


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(KEYS, VALUES, max_size=4))
def test_every_value_stands_where_it_is_said_to(document: dict[str, Any]) -> None:
    """Whatever is written by an independent writer (tomli_w): whole numbers and truths are found at their place."""
    text = tomli_w.dumps(document)
    places = locate(text)
    assert places.broken == ()
    for path, value in leaves(tomllib.loads(text)):
        if isinstance(value, bool | int):
            assert at(text, places.of(path)).startswith(str(value).lower())
        elif isinstance(value, str):
            assert at(text, places.of(path))[:1] in "\"'"


@pytest.mark.parametrize("name", sorted(n for n in good() if n.endswith(".toml")))
def test_every_path_of_a_flow_has_a_place(name: str) -> None:
    """In a file as a trainer writes it, no path has to borrow the place of its parent."""
    text = good()[name].decode()
    places = locate(text).places
    assert [path for path, _ in leaves(tomllib.loads(text)) if path and path not in places] == []


def test_keys_and_values_have_places_of_their_own() -> None:
    """The key stands before the equals sign, the value after it; dotted and quoted keys too."""
    places = locate('a."b c".d = 1\n[x]\ny = { z = [10, 20] }\n')
    assert places.of(("a", "b c", "d")) == (1, 13)
    assert places.of_key(("a", "b c", "d")) == (1, 1)
    assert places.of_key(("x", "y", "z")) == (3, 7)
    assert places.of(("x", "y", "z", 1)) == (3, 16)


def test_columns_are_characters() -> None:
    """Letters of two, three and four bytes count as one column each."""
    assert locate('a = { "ü" = "€", "𝄞" = 7 }\n').of(("a", "𝄞")) == (1, 24)


def test_a_comment_behind_a_value_is_no_value() -> None:
    """Common practice in TOML: the value stands where it stands, and what is within it too."""
    found = locate("a = 0.5  # half\nb = { c = 1 } # one\nd = [ # two\n  2, # and\n  3 ]# three\n").places
    assert found["a",] == (1, 5) and found["b", "c"] == (2, 11)
    assert found["d", 0] == (4, 3) and found["d", 1] == (5, 3)


def test_tables_below_an_entry_belong_to_the_latest() -> None:
    """[[step.answer]] and [step.reading] belong to the [[step]] above them, as in TOML."""
    text = "[[step]]\n[[step.answer]]\n[[step]]\n[step.reading]\nunit = 1\n[[step.answer]]\nid = 2\n"
    places = locate(text)
    assert places.of(("step", 1, "reading", "unit")) == (5, 8)
    assert places.of(("step", 1, "answer", 0, "id")) == (7, 6)
    assert places.of(("step", 0, "answer", 0)) == (2, 1)


def test_a_path_without_a_place_has_that_of_its_nearest_ancestor() -> None:
    """What is missing is placed at the table that lacks it; in an empty file at its beginning."""
    places = locate("\n[a]\nb = 1\n")
    assert places.of(("a", "c", 3)) == (2, 1)
    assert places.of(("z",)) == (1, 1)
    assert Positions().of(("a",)) == (1, 1)


@pytest.mark.parametrize("text", ["a = ", "[a", "a = 'x", "= 3", "a = [1, 2", "a b = 1"])
def test_broken_syntax_has_a_place(text: str) -> None:
    """Text that tomllib refuses has error nodes, and locating it doesn't fail."""
    with pytest.raises(ValueError):
        tomllib.loads(text)
    assert locate(text + "\n").broken


@settings(max_examples=60, deadline=None)
@given(st.text(max_size=60))
def test_no_text_makes_locating_fail(text: str) -> None:
    """Any text at all can be located."""
    locate(text)


@pytest.mark.parametrize("text", [b"a = {\n}\n", b"a = [{b = 1,}]\n", b'a = "\\x41"\n', b"a = 07:32\n"])
def test_what_only_toml_1_1_allows_is_a_problem_on_every_python(text: bytes) -> None:
    """TOML 1.1 lets an inline table go over lines and end in a comma, and has two more forms of values; 1.0
    doesn't.
    """
    assert [p.rule for p in read_one("limits.toml", text, "limits").problems][:1] == ["toml"]


def test_the_parser_reads_the_shipped_files_as_the_standard_library_does() -> None:
    """The flows are parsed by a compiled parser; the reference is Python's own tomllib."""
    found = sorted((Path(__file__).parents[3] / "flows").rglob("*.toml"))
    assert len(found) > 100
    for path in found:
        text = path.read_text(encoding="utf-8")
        assert parse(text) == tomllib.loads(text), path
